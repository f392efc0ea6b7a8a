"""Rates against the published formulas they are built from."""

import numpy as np
import pytest

from chemistry.cycling.model import (
    activities,
    alkalinity_share,
    inhibition,
    ph,
    rates,
)
from tests.chemistry.cycling.startups import (
    prior_members,
    promising_case,
    steady,
    water,
)

KINETICS = prior_members(count=1, case=promising_case()).kinetics


@pytest.mark.parametrize("temperature_c", [10.0, 20.0, 25.0, 30.0])
def test_ammonium_acidity_in_fresh_water_meets_emerson(temperature_c: float) -> None:
    # Emerson et al. 1975: pKa = 0.09018 + 2729.92 / T (from memory, unverified)
    emerson = 0.09018 + 2729.92 / (temperature_c + 273.15)

    ours = 8.0 - np.log10(steady(temperature_c=temperature_c, salinity_g_kg=0.0).ammonium_acidity)

    assert ours == pytest.approx(emerson, abs=0.01)


def test_activity_is_one_at_25_degrees_in_fresh_water() -> None:
    share = activities(temperature_c=np.array([25.0]), salinity_g_kg=np.array([0.0]))

    assert share == pytest.approx(1.0)


def test_sea_water_leaves_about_two_fifths_of_the_fresh_rate() -> None:
    # Nijhof & Bovendeur 1990: 0.28 against 0.69 g N/m2/d at 24 °C
    warm = np.array([24.0])
    salt = activities(temperature_c=warm, salinity_g_kg=np.array([35.0]))[0, 0]
    fresh = activities(temperature_c=warm, salinity_g_kg=np.array([0.0]))[0, 0]

    assert salt / fresh == pytest.approx(0.28 / 0.69, abs=0.2)


def test_ten_degrees_below_25_halve_the_ammonia_rate() -> None:
    # theta 1.072 (wastewater handbooks, from memory): 1.072**-10 = 0.50
    cold = activities(temperature_c=np.array([15.0]), salinity_g_kg=np.array([0.0]))

    assert cold[0, 0] == pytest.approx(0.5, abs=0.01)


def test_heat_beyond_the_optimum_slows_both_groups() -> None:
    share = activities(temperature_c=np.array([29.0, 36.0]), salinity_g_kg=np.zeros(2))

    assert (share[:, 1] < 0.5 * share[:, 0]).all()


def test_ph_rises_by_log_two_when_alkalinity_doubles() -> None:
    kappa = np.array([2.2])
    single = ph(water(alkalinity=2.0), kappa=kappa)[0]
    double = ph(water(alkalinity=4.0), kappa=kappa)[0]

    assert double - single == pytest.approx(np.log10(2.0), abs=1e-3)


def test_ammonia_inhibits_only_the_nitrite_oxidisers() -> None:
    acid = np.array([0.1])  # pH 9
    none = inhibition(water(tan=0.0, nitrite=0.0), acid=acid, of=KINETICS, at=steady())
    much = inhibition(water(tan=10.0, nitrite=0.0), acid=acid, of=KINETICS, at=steady())

    assert none == pytest.approx(1.0)
    assert much[0, 0] == pytest.approx(1.0)
    assert much[1, 0] > 5.0


def test_nothing_grows_on_nothing() -> None:
    uptake, growth = rates(water(tan=0.0, nitrite=0.0), of=KINETICS, at=steady())

    assert (uptake > 0.0).all()
    assert growth.ravel() == pytest.approx(-float(steady().decay[0]))


def test_soft_water_leaves_little_of_the_ammonia_rate() -> None:
    kappa = np.array([2.2])

    assert alkalinity_share(water(alkalinity=0.05), kappa=kappa)[0] < 0.3
    assert alkalinity_share(water(alkalinity=2.2), kappa=kappa)[0] > 0.9


def test_water_without_any_alkalinity_stops_the_ammonia_oxidisers_only() -> None:
    with np.errstate(all="raise"):
        uptake, _ = rates(water(alkalinity=0.0), of=KINETICS, at=steady())

    assert uptake[0] == pytest.approx(0.0, abs=1e-9)
    assert uptake[1] > 0.0
