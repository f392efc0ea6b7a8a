"""Each fit of ammonium's acidity constant, and the wrong variants that are in circulation."""

import math

import numpy as np
import phreeqpython
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonium import (
    clegg_whitfield_fraction,
    clegg_whitfield_pk,
    emerson_fraction,
    emerson_pka,
    epa_1989_fraction,
    epa_1989_pk,
    yao_millero_fraction,
    yao_millero_pk,
)
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale, from_total


# Found: UF/IFAS table as reprinted (Fundamentals of Aquatic Veterinary Medicine, Table 1.4).
@pytest.mark.parametrize(
    ("temperature_c", "ph", "printed"),
    [(24.0, 8.0, 0.0502), (10.0, 8.2, 0.0286), (30.0, 7.0, 0.0080)],
)
def test_fresh_water_matches_three_printed_entries(
    temperature_c: float, ph: float, printed: float
) -> None:
    assert emerson_fraction(ph=ph, temperature_c=temperature_c) == pytest.approx(printed, abs=1e-4)


def test_fresh_water_in_full_precision() -> None:
    # Computed by hand arithmetic from the published equation.
    assert emerson_pka(temperature_c=25.0) == pytest.approx(9.246377, abs=1e-6)
    assert emerson_fraction(ph=8.0, temperature_c=25.0) == pytest.approx(0.05366234, abs=1e-7)
    assert emerson_fraction(ph=7.5, temperature_c=10.0) == pytest.approx(0.00583483, abs=1e-7)


def test_three_published_constants_of_sea_water() -> None:
    # Computed with PyCO2SYS 1.8.3.4 and, for the second, alike with two more libraries.
    sea = {"temperature_c": 25.0, "salinity_g_kg": 35.0}

    assert clegg_whitfield_pk(**sea) == pytest.approx(9.2458, abs=2e-4)
    assert yao_millero_pk(**sea) == pytest.approx(9.2562, abs=2e-4)
    assert epa_1989_pk(**sea) == pytest.approx(9.3241, abs=2e-4)
    assert yao_millero_pk(temperature_c=20.0, salinity_g_kg=35.0) == pytest.approx(9.4282, abs=2e-4)
    assert yao_millero_pk(temperature_c=25.0, salinity_g_kg=0.0) == pytest.approx(9.2447, abs=2e-4)


def test_the_sea_water_scale_constant_turns_into_the_total_one() -> None:
    # Computed with PyCO2SYS's own conversion: 9.2659 and 9.4373 on the total scale.
    for temperature_c, printed in ((25.0, 9.2659), (20.0, 9.4373)):
        pk = yao_millero_pk(temperature_c=temperature_c, salinity_g_kg=35.0)
        above = from_total(
            0.0, scale=PhScale.SEAWATER, temperature_c=temperature_c, salinity_g_kg=35.0
        )
        assert pk - above == pytest.approx(printed, abs=2e-4)


def test_scale_consistent_fits_differ_by_four_per_cent() -> None:
    # Computed: % NH3 at total pH 8.2, S 35, 25 °C; 8.255 by one fit, 7.912 by the other.
    above = from_total(0.0, scale=PhScale.SEAWATER, temperature_c=25.0, salinity_g_kg=35.0)
    first = clegg_whitfield_fraction(ph_total=8.2, temperature_c=25.0, salinity_g_kg=35.0)
    second = yao_millero_fraction(ph_seawater=8.2 + above, temperature_c=25.0, salinity_g_kg=35.0)

    assert 100 * first == pytest.approx(8.255, abs=0.002)
    assert 100 * second == pytest.approx(7.912, abs=0.002)


def test_forgetting_the_water_in_sea_water_is_told_apart() -> None:
    # Per kg of water instead of sea water: 0.0155 lower pK, 3.5 % more NH3.
    forgotten = clegg_whitfield_pk(temperature_c=25.0, salinity_g_kg=35.0) + math.log10(
        1 - 0.001005 * 35
    )

    assert forgotten != pytest.approx(9.2458, abs=2e-3)
    assert 9.2458 - forgotten == pytest.approx(0.0155, abs=5e-4)


def test_a_remembered_slope_of_the_epa_formula_misses_the_printed_table() -> None:
    # Found: 131 mg/L as NH3 at S 10, pH 7.0, 10 °C and 48 at S 30, 25 °C, EPA 440/5-88-004 p. 30.
    def acute(slope: float, salinity: float, temperature_c: float) -> float:
        ionic = 19.9273 * salinity / (1000 - 1.005109 * salinity)
        kelvin = temperature_c + 273.15
        pk = 9.245 + slope * ionic + 0.0324 * (298 - kelvin) + 0.0415 / kelvin
        return 0.233 * (1 + 10 ** (pk - 7.0))

    ours = 0.233 / epa_1989_fraction(ph=7.0, temperature_c=25.0, salinity_g_kg=30.0)
    assert ours == pytest.approx(acute(0.116, 30, 25), rel=1e-9)
    assert ours == pytest.approx(48, rel=0.01)
    assert acute(0.138, 30, 25) != pytest.approx(48, rel=0.01)


def test_two_heirs_of_one_model_differ_by_0_028() -> None:
    # Found: Bower & Bidwell 1978, 25 °C: 4.28 % at pH 8.0, which implies pK 9.350.
    implied = 8.0 + math.log10(1 / 0.0428 - 1)
    ours = epa_1989_pk(temperature_c=25.0, salinity_g_kg=34.0)

    assert implied == pytest.approx(9.350, abs=1e-3)
    assert implied - ours == pytest.approx(0.028, abs=0.003)


def test_the_florida_variant_is_told_apart() -> None:
    # Found in a public script: (0.1552 - 0.0003142 t) I added to Emerson; 9.3514 at S 35, 25 °C.
    ionic = 19.9273 * 35 / (1000 - 1.005109 * 35)
    florida = 0.0901821 + 2729.92 / 298.2 + (0.1552 - 0.0003142 * 25) * ionic
    slipped = 19.9273 * 35 / (1000 - 1.2005109 * 35)

    assert florida == pytest.approx(9.3514, abs=2e-4)
    assert epa_1989_pk(temperature_c=25.0, salinity_g_kg=35.0) != pytest.approx(florida, abs=0.02)
    # The same script's slip in one line, 1.2005109 for 1.005109, moves the ionic strength 0.7 %.
    assert slipped != pytest.approx(0.722886, rel=1e-3)
    assert ionic == pytest.approx(0.722886, rel=1e-6)


def test_older_tables_are_1_6_per_cent_lower() -> None:
    # Found: Trussell 1972 as reprinted, 5.28 % at pH 8.0, 25 °C.
    ours = emerson_fraction(ph=8.0, temperature_c=25.0)

    assert ours != pytest.approx(0.0528, abs=1e-4)
    assert ours / 0.0528 == pytest.approx(1.016, abs=0.002)


def test_kelvin_of_273_is_told_apart_from_273_15() -> None:
    # Found: a regulator's script adds 273; that makes 1.1 % more or less NH3.
    def pk(offset: float) -> float:
        ionic = 19.9273 * 30 / (1000 - 1.005109 * 30)
        kelvin = 25 + offset
        return 9.245 + 0.116 * ionic + 0.0324 * (298 - kelvin) + 0.0415 / kelvin

    ours = epa_1989_pk(temperature_c=25.0, salinity_g_kg=30.0)
    assert ours == pytest.approx(pk(273.15), abs=1e-9)
    assert 10 ** abs(ours - pk(273.0)) - 1 == pytest.approx(0.011, abs=0.001)


def test_phreeqc_is_no_oracle_in_sea_water() -> None:
    # Computed: phreeqc.dat reads a third too little NH3 there; it is used for fresh water only.
    water = phreeqpython.PhreeqPython().add_solution(
        {
            "temp": 25.0, "pH": 8.2, "units": "mmol/kgw", "Na": 486.06, "Cl": 565.76, "Mg": 54.74,
            "Ca": 10.66, "K": 10.58, "S(6)": 29.26, "Alkalinity": 2.39, "Amm": 0.0, "N(-3)": 0.01,
        }
    )  # fmt: skip
    free = water.species.get("NH3", 0.0)
    total = free + water.species["NH4+"] + water.species.get("NH4SO4-", 0.0)
    ours = epa_1989_fraction(ph=8.2, temperature_c=25.0, salinity_g_kg=35.0)

    assert 0.30 < 1 - free / total / ours < 0.45


def test_pyco2sys_uses_the_same_constant_over_arrays() -> None:
    # Computed: PyCO2SYS's default ammonia constant is Clegg & Whitfield's.
    salinity, temperature_c = (a.ravel() for a in np.meshgrid([1.0, 20.0, 35.0], [5.0, 20.0, 30.0]))
    result = PyCO2SYS.sys(
        par1=8.1, par1_type=3, par2=2300, par2_type=1, total_ammonia=1.0,
        salinity=salinity, temperature=temperature_c,
    )  # fmt: skip

    ours = clegg_whitfield_pk(temperature_c=temperature_c, salinity_g_kg=salinity)

    assert ours == pytest.approx(-np.log10(result["k_ammonia"]), abs=2e-4)


@given(temperature_c=st.floats(0, 39), salinity_g_kg=st.floats(0, 40), ph=st.floats(4, 10.9))
def test_every_fit_rises_with_ph_and_warmth(
    temperature_c: float, salinity_g_kg: float, ph: float
) -> None:
    def fractions(ph: float, temperature_c: float) -> list[float]:
        water = {"temperature_c": temperature_c, "salinity_g_kg": salinity_g_kg}
        return [
            emerson_fraction(ph=ph, temperature_c=temperature_c),
            epa_1989_fraction(ph=ph, **water),
            clegg_whitfield_fraction(ph_total=ph, **water),
            yao_millero_fraction(ph_seawater=ph, **water),
        ]

    here = fractions(ph, temperature_c)
    assert all(0 < one < 1 for one in here)
    assert all(
        more > one for more, one in zip(fractions(ph + 0.1, temperature_c), here, strict=True)
    )
    assert all(more > one for more, one in zip(fractions(ph, temperature_c + 1), here, strict=True))


def test_yao_and_millero_stop_where_they_measured() -> None:
    with pytest.raises(OutOfRange, match="Yao & Millero"):
        yao_millero_pk(temperature_c=45.1, salinity_g_kg=35.0)
