"""Doses of alkalinity and nitrification in a closed water, against PyCO2SYS and PHREEQC."""

import phreeqpython
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.buffering import (
    after_nitrifying,
    aired,
    with_bicarbonate,
    with_carbonate,
    with_hydroxide,
)
from chemistry.carbonate import Carbonate, from_alkalinity_and_ph
from chemistry.carbonate_constants import Water
from chemistry.domain import OutOfRange
from chemistry.salinity import density_kg_l

DENSITY = float(density_kg_l(salinity_g_kg=35.0, temperature_c=25.0))


def _sea() -> Carbonate[float]:
    """Return sea water of 2300 µmol/kg and total pH 8."""
    water = Water(temperature_c=25.0, salinity_g_kg=35.0)
    return from_alkalinity_and_ph(water, alkalinity_meq_l=2.3 * DENSITY, ph=8.0)


def test_equal_alkalinity_moves_ph_unequally() -> None:
    # Computed: PyCO2SYS, 500 µmol/kg more alkalinity: 7.934, 8.276 and 8.548.
    rise = 0.5 * DENSITY

    assert with_bicarbonate(_sea(), rise_meq_l=rise).ph == pytest.approx(7.934, abs=1e-3)
    assert with_carbonate(_sea(), rise_meq_l=rise).ph == pytest.approx(8.276, abs=1e-3)
    assert with_hydroxide(_sea(), rise_meq_l=rise).ph == pytest.approx(8.548, abs=1e-3)


def test_bicarbonate_does_not_raise_a_sea_water_ph_of_eight_at_once() -> None:
    # The wrong variant, adding the alkalinity without its carbon, would raise it by 0.55.
    dosed = with_bicarbonate(_sea(), rise_meq_l=0.5 * DENSITY)

    assert dosed.ph < 8.0
    assert with_hydroxide(_sea(), rise_meq_l=0.5 * DENSITY).ph - dosed.ph > 0.5
    assert aired(dosed).ph > 8.0


def test_nitrifying_a_milligram_per_kilogram_takes_0_29_of_ph() -> None:
    # Computed: PyCO2SYS: 8.000 -> 7.712.
    after = after_nitrifying(_sea(), oxidised_mg_l_n=DENSITY)

    assert after.ph == pytest.approx(7.712, abs=1e-3)
    assert after.carbon_mmol_l == pytest.approx(_sea().carbon_mmol_l)


@pytest.mark.parametrize(("salt", "carbon_per_meq"), [("NaHCO3", 1.0), ("Na2CO3", 0.5)])
def test_fresh_water_follows_phreeqc_through_a_dose(salt: str, carbon_per_meq: float) -> None:
    # Computed: PHREEQC, 1 meq/kg into water of pH 6.8 and 0.6 meq/kg; fresh water only.
    theirs = phreeqpython.PhreeqPython().add_solution(
        {"temp": 25.0, "pH": 6.8, "units": "mmol/kgw", "Alkalinity": 0.6, "Na": 0.6}
    )
    theirs.add(salt, carbon_per_meq)
    before = from_alkalinity_and_ph(
        Water(temperature_c=25.0, salinity_g_kg=0.0), alkalinity_meq_l=0.6, ph=6.8
    )
    dose = with_bicarbonate if salt == "NaHCO3" else with_carbonate

    assert dose(before, rise_meq_l=1.0).ph == pytest.approx(theirs.pH, abs=0.015)


@given(
    salinity_g_kg=st.sampled_from([0.0, 10.0, 35.0]),
    ph=st.floats(6.5, 8.3),
    rise=st.floats(0.1, 2),
)
def test_the_more_carbon_the_less_ph_and_air_forgets_the_way(
    salinity_g_kg: float, ph: float, rise: float
) -> None:
    water = Water(temperature_c=25.0, salinity_g_kg=salinity_g_kg)
    before = from_alkalinity_and_ph(water, alkalinity_meq_l=2.0, ph=ph)
    bicarbonate = with_bicarbonate(before, rise_meq_l=rise)
    carbonate = with_carbonate(before, rise_meq_l=rise)
    hydroxide = with_hydroxide(before, rise_meq_l=rise)

    assert bicarbonate.ph < carbonate.ph < hydroxide.ph
    assert aired(bicarbonate).ph == pytest.approx(aired(carbonate).ph, abs=1e-9)


@given(first=st.floats(0, 1), second=st.floats(0, 1))
def test_two_doses_are_one_of_their_sum(first: float, second: float) -> None:
    apart = with_carbonate(with_carbonate(_sea(), rise_meq_l=first), rise_meq_l=second)
    together = with_carbonate(_sea(), rise_meq_l=first + second)

    assert apart.ph == pytest.approx(together.ph, abs=1e-9)


@given(oxidised=st.floats(0.1, 5))
def test_bicarbonate_gives_back_what_nitrification_took(oxidised: float) -> None:
    # 2 / 14.007 meq per mg N; its carbon stays as dissolved gas until aeration.
    after = after_nitrifying(_sea(), oxidised_mg_l_n=oxidised)
    mended = with_bicarbonate(after, rise_meq_l=2 / 14.007 * oxidised)

    assert mended.alkalinity_meq_l == pytest.approx(_sea().alkalinity_meq_l)
    assert aired(mended).ph == pytest.approx(aired(_sea()).ph, abs=1e-9)


def test_a_filter_cannot_use_more_alkalinity_than_there_is() -> None:
    before = from_alkalinity_and_ph(
        Water(temperature_c=25.0, salinity_g_kg=0.0, tan_mg_l_n=8.0), alkalinity_meq_l=0.6, ph=7.0
    )

    with pytest.raises(OutOfRange, match="alkalinity"):
        after_nitrifying(before, oxidised_mg_l_n=8.0)
