"""What a doubt changes: against the propagation law worked out by derivatives."""

import pytest

from chemistry.calculator import answer, calculation
from tests.chemistry.calculator.told import examples

FRESH = {
    "tan": "1.0 mg/L as N",
    "ph": "8.0",
    "scale": "NBS",
    "temperature": "25 degC",
    "salinity": "0",
}


def test_ph_leads_and_moves_free_ammonia_by_a_quarter() -> None:
    made = answer(calculation("unionised-ammonia"), FRESH)
    ph, *others = made.sensitivity

    # Computed, Emerson at 25 °C, pH 8.0: +24.2 % and -19.7 % for 0.1 pH.
    assert [ph.ask.name, *(one.ask.name for one in others)][:3] == ["ph", "tan", "temperature"]
    assert ph.up is not None
    assert ph.down is not None
    assert ph.up["nh3"] / made.values["nh3"] == pytest.approx(0.242, abs=1e-3)
    assert ph.down["nh3"] / made.values["nh3"] == pytest.approx(-0.197, abs=1e-3)


def test_all_doubts_together_follow_the_propagation_law() -> None:
    made = answer(calculation("unionised-ammonia"), FRESH)

    # Computed: 24.2 % for 0.1 pH, 0.5 °C, 10 % of total ammonia.
    assert made.doubts["nh3"] / made.values["nh3"] == pytest.approx(0.242, abs=3e-3)


def test_a_doubt_past_the_end_of_a_range_stops_at_it() -> None:
    made = answer(calculation("unionised-ammonia"), FRESH | {"ph": "11"})
    of_ph = next(one for one in made.sensitivity if one.ask.name == "ph")

    assert of_ph.up is not None
    assert of_ph.down is not None
    assert of_ph.up["nh3"] == 0.0
    assert made.doubts["nh3"] > abs(of_ph.down["nh3"])


def test_where_the_formula_ends_one_side_is_unknown_and_the_other_counts() -> None:
    made = answer(calculation("unionised-ammonia"), FRESH | {"temperature": "40", "salinity": "30"})
    of_warmth = next(one for one in made.sensitivity if one.ask.name == "temperature")

    assert of_warmth.up is None
    assert of_warmth.down is not None
    assert made.doubts["nh3"] >= abs(of_warmth.down["nh3"])


def test_what_does_not_matter_moves_nothing_at_all() -> None:
    # The share does not depend on how much ammonia there is; rounding must not say it does.
    made = answer(calculation("unionised-ammonia"), FRESH | {"tan": "0.7 mg/L as N"})
    of_tan = next(one for one in made.sensitivity if one.ask.name == "tan")

    assert of_tan.up is not None
    assert of_tan.up["fraction"] == 0.0


def test_a_calculation_without_doubts_claims_none() -> None:
    asked = calculation("duplicates")
    made = answer(asked, examples(asked))

    assert made.sensitivity == ()
    assert made.doubts == {}
