"""NBS to total pH against PyCO2SYS, which uses the same published constants."""

import numpy as np
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonium import clegg_whitfield_fraction, epa_1989_fraction
from chemistry.domain import OutOfRange
from chemistry.ph_scales import (
    PhScale,
    above_total,
    from_total,
    nbs_above_total,
    to_total,
    total_from_nbs,
)


def test_the_gap_between_scales_agrees_with_pyco2sys() -> None:
    waters = [(s, t) for s in (20.0, 30.0, 35.0, 40.0) for t in (0.0, 10.0, 25.0, 35.0)]
    result = PyCO2SYS.sys(
        par1=8.1, par1_type=3, par2=2300, par2_type=1,
        salinity=[s for s, _ in waters], temperature=[t for _, t in waters],
    )  # fmt: skip
    theirs = list(result["pH_nbs"] - result["pH_total"])

    ours = [nbs_above_total(temperature_c=t, salinity_g_kg=s) for s, t in waters]

    assert ours == pytest.approx(theirs, abs=1e-6)


def test_a_meter_in_sea_water_reads_above_the_total_scale() -> None:
    total = total_from_nbs(ph_nbs=8.2, temperature_c=25, salinity_g_kg=35)

    assert total == pytest.approx(8.063, abs=0.002)


def test_low_salinities_are_not_converted() -> None:
    with pytest.raises(OutOfRange):
        total_from_nbs(ph_nbs=8.2, temperature_c=25, salinity_g_kg=19.9)


# Computed: PyCO2SYS 1.8.3.4 with opt_k_fluoride=2, S 35, alkalinity 2300 µmol/kg.
@pytest.mark.parametrize(
    ("temperature_c", "nbs", "free", "seawater"),
    [
        (25.0, 0.1365, 0.1077, -0.0101),
        (20.0, 0.1251, 0.0913, -0.0100),
        (15.0, 0.1140, 0.0764, -0.0098),
    ],
)
def test_scales_stand_apart_as_tabled(
    temperature_c: float, nbs: float, free: float, seawater: float
) -> None:
    def above(scale: PhScale) -> float:
        return above_total(scale, temperature_c=temperature_c, salinity_g_kg=35.0)

    assert above(PhScale.FREE) == pytest.approx(free, abs=2e-4)
    # Tabled with hydrogen fluoride by Perez & Fraga (1987); ours by Dickson & Riley (1979), the
    # library's default, is up to 0.0012 apart: less than any electrode.
    assert above(PhScale.NBS) == pytest.approx(nbs, abs=1.3e-3)
    assert above(PhScale.SEAWATER) == pytest.approx(seawater, abs=1.3e-3)
    assert above(PhScale.TOTAL) == 0


def test_every_scale_agrees_with_pyco2sys_over_arrays() -> None:
    salinity, temperature_c = (
        axis.ravel() for axis in np.meshgrid([20.0, 30.0, 40.0], [0.0, 10.0, 25.0, 35.0])
    )
    result = PyCO2SYS.sys(
        par1=8.1, par1_type=3, par2=2300, par2_type=1, salinity=salinity, temperature=temperature_c
    )
    keys = {PhScale.NBS: "pH_nbs", PhScale.FREE: "pH_free", PhScale.SEAWATER: "pH_sws"}

    for scale, key in keys.items():
        ours = from_total(
            np.full(salinity.shape, 8.1),
            scale=scale,
            temperature_c=temperature_c,
            salinity_g_kg=salinity,
        )
        assert ours == pytest.approx(result[key], abs=1e-6)


def test_mixing_up_scales_costs_a_third_and_choosing_a_fit_an_eighth() -> None:
    # Computed, % NH3 of a meter's pH 8.2 at S 35, 25 °C: 6.99, 6.16 converted, 8.26 mixed up.
    sea = {"temperature_c": 25.0, "salinity_g_kg": 35.0}
    converted = to_total(8.2, scale=PhScale.NBS, **sea)

    assert 100 * epa_1989_fraction(ph=8.2, **sea) == pytest.approx(6.989, abs=0.002)
    right = clegg_whitfield_fraction(ph_total=converted, **sea)
    mixed_up = clegg_whitfield_fraction(ph_total=8.2, **sea)
    assert 100 * right == pytest.approx(6.160, abs=0.005)
    assert mixed_up / right == pytest.approx(1.34, abs=0.01)


@given(
    ph=st.floats(5, 10),
    temperature_c=st.floats(0, 40),
    salinity_g_kg=st.floats(20, 40),
    scale=st.sampled_from(PhScale),
)
def test_to_total_and_back_is_the_same(
    ph: float, temperature_c: float, salinity_g_kg: float, scale: PhScale
) -> None:
    sea = {"temperature_c": temperature_c, "salinity_g_kg": salinity_g_kg}

    assert from_total(to_total(ph, scale=scale, **sea), scale=scale, **sea) == pytest.approx(ph)


def test_without_salt_free_and_total_are_one() -> None:
    fresh = {"temperature_c": 25.0, "salinity_g_kg": 0.0}

    assert above_total(PhScale.FREE, **fresh) == 0
    assert above_total(PhScale.SEAWATER, **fresh) == 0
