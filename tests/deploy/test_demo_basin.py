"""The simulated water and the methods that read it, before anything is loaded.

Nitrogen is conserved, and oxidising ammonia takes two equivalents of alkalinity for each mole of
nitrogen (stoichiometry; 7.14 g CaCO₃/g N in Timmons & Ebeling 2013, from memory, unverified).
"""

from dataclasses import replace

import pytest

from deploy.demo_data.acts import dice
from deploy.demo_data.basin import Basin, Nature
from deploy.demo_data.methods import METHODS
from tanks.rules.values import parse_entry

SEEDED = Nature(seed_mg_l_d=(1.0, 0.8), alkalinity_meq_l=3.0, nitrate_mg_l_n=2.0)


def _basin(nature: Nature = SEEDED) -> Basin:
    basin = Basin(nature, temperature_c=27.0, salinity_g_kg=0.3)
    basin.seed()
    basin.dose(2.0)
    return basin


def test_nitrogen_only_changes_its_form() -> None:
    basin = _basin()

    basin.live(72)

    truth = basin.truth()
    assert truth["TAN"] + truth["NITRITE"] + truth["NITRATE"] == pytest.approx(4.0, abs=1e-9)


def test_ammonia_oxidised_takes_two_equivalents_for_each_mole() -> None:
    basin = _basin()

    basin.live(240)

    assert basin.truth()["TAN"] < 0.01
    assert 3.0 - basin.truth()["ALKALINITY"] == pytest.approx(2.0 * 2 / 14.007, rel=0.01)


def test_water_without_alkalinity_stands_still() -> None:
    soft = _basin(replace(SEEDED, alkalinity_meq_l=0.05))

    soft.live(240)

    assert soft.truth()["TAN"] > 1.5


def test_a_step_in_salinity_costs_rate() -> None:
    shocked, calm = _basin(), _basin()
    shocked.salt(8.0)

    shocked.live(12)
    calm.live(12)

    assert shocked.truth()["TAN"] > calm.truth()["TAN"]


@pytest.mark.parametrize(
    ("canonical", "qualifier"),
    [(0.001, "BELOW"), (0.31, "EQUAL"), (0.45, "BETWEEN"), (40.0, "ABOVE")],
)
def test_colour_kit_shows_what_its_colours_can(canonical: float, qualifier: str) -> None:
    exact = replace(METHODS["tan kit"], share=0.0)

    entered = parse_entry(exact.text(canonical, dice("any")))

    # 0.31 mg/L as N is 0.40 mg/L as NH4, a colour; 0.45 is 0.58, between 0.4 and 0.8.
    assert entered.qualifier == qualifier


@pytest.mark.parametrize(("canonical", "text"), [(0.001, "<0.02"), (1.234, "1.23"), (7.0, ">6")])
def test_photometer_shows_figures_within_its_range(canonical: float, text: str) -> None:
    exact = replace(METHODS["tan photometer"], share=0.0)

    assert exact.text(canonical, dice("any")) == text


def test_same_name_draws_the_same_chance() -> None:
    assert dice("S1").integers(1000) == dice("S1").integers(1000)
    assert dice("S1").integers(1000) != dice("S2").integers(1000)
