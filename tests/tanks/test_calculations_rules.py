"""Numbers beside their units, the catalogue searched, answers as rows."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.calculator import CALCULATIONS, answer, calculation
from chemistry.calculator.inputs import PH, PURITY, SALINITY, TAN, TEMPERATURE, VOLUME
from chemistry.calculator.terms import Input, Series, offered
from chemistry.domain import CONCENTRATION
from tanks.rules.answers import results, sensitivity
from tanks.rules.calculations import as_typed, joined, must_choose_unit, parted, unit_label
from tanks.rules.catalogue import found_by

BLANKS = Series(
    name="blanks",
    label="Blanks",
    unit="mg/L as N",
    units=("mg/L as N", "mg/L as NH4"),
    accepted=CONCENTRATION,
    example="0.1 0.2 mg/L as N",
    fewest=2,
    needs_unit=True,
)
AMMONIA = {
    "tan": "0.5 mg/L as N",
    "ph": "8.2",
    "scale": "NBS",
    "temperature": "25",
    "salinity": "0",
}


@pytest.mark.parametrize(
    ("text", "ask", "parts"),
    [
        ("1.0 mg/L as NH3", TAN, ("1.0", "mg/L as NH3")),
        ("1.0mg/L as N", TAN, ("1.0", "mg/L as N")),
        ("78 degF", TEMPERATURE, ("78", "degF")),
        ("78F", TEMPERATURE, ("78F", "")),
        ("100 gal_us", VOLUME, ("100", "gal_us")),
        ("much mg/L as N", TAN, ("much mg/L as N", "")),
        ("8.0", PH, ("8.0", "")),
        ("0.51", PURITY, ("0.51", "")),
        ("51 %", PURITY, ("51", "%")),
        ("0.1 0.2 mg/L as NH4", BLANKS, ("0.1 0.2", "mg/L as NH4")),
    ],
)
def test_a_unit_behind_a_number_is_told_apart(
    text: str, ask: Input | Series, parts: tuple[str, str]
) -> None:
    assert parted(text, ask) == parts


@pytest.mark.parametrize(
    ("text", "unit", "ask", "told"),
    [
        ("1.0", "mg/L as NH3", TAN, "1.0 mg/L as NH3"),
        ("1.0", "mg/L as N", TAN, "1.0 mg/L as N"),
        ("1.0", "", TAN, "1.0"),
        # Without its usual unit 1.025 is still asked about: it looks like a specific gravity.
        ("1.025", "g/kg", SALINITY, "1.025"),
        ("78F", "degC", TEMPERATURE, "78F"),
        ("0.1; 0.2", "mg/L as NH4", BLANKS, "0.1; 0.2 mg/L as NH4"),
        ("0.1 0.2 mg/L as N", "mg/L as NH4", BLANKS, "0.1 0.2 mg/L as N"),
    ],
)
def test_the_chosen_unit_goes_behind_a_bare_number_only(
    text: str, unit: str, ask: Input | Series, told: str
) -> None:
    assert joined(text, unit, ask) == told


@given(
    number=st.decimals(0, 10**6, places=3).map(str),
    pair=st.sampled_from([(ask, unit) for ask in (TAN, VOLUME, BLANKS) for unit in offered(ask)]),
)
def test_parting_undoes_joining(number: str, pair: tuple[Input | Series, str]) -> None:
    ask, unit = pair

    assert parted(as_typed(number, unit), ask) == (number, unit)
    assert joined(*parted(as_typed(number, unit), ask), ask).startswith(number)


@pytest.mark.parametrize(
    ("unit", "label"),
    [
        ("mg/L as NH3", "mg/L as NH₃"),
        ("mg/L as N", "mg/L as N"),
        ("mg/L CaCO3", "mg/L CaCO₃"),
        ("degF", "°F"),
        ("gal_us", "US gal"),
        ("1", "of 1"),
        ("", "of 1"),
        ("L", "L"),
    ],
)
def test_units_are_written_for_people(unit: str, label: str) -> None:
    assert unit_label(unit) == label


def test_only_a_basis_among_several_must_be_chosen() -> None:
    assert must_choose_unit(TAN)
    assert not must_choose_unit(VOLUME)


def test_everything_is_found_once_and_under_its_subject() -> None:
    groups = found_by("")

    assert sorted(one.name for group in groups for one in group.calculations) == sorted(
        one.name for one in CALCULATIONS
    )
    headings = [group.heading for group in groups]
    assert "Ammonia" in headings
    assert "pH meter" in headings


def test_every_word_must_be_there_in_any_case() -> None:
    found = [one.name for group in found_by(" SCALE un-ionised ") for one in group.calculations]

    assert "unionised-ammonia" in found
    assert len(found) < len(CALCULATIONS)
    assert found_by("un-ionised xyzzy") == ()


def test_results_stand_in_order_with_their_doubts() -> None:
    told = answer(calculation("unionised-ammonia"), AMMONIA)

    first, *_ = results(told)

    # Emerson et al. 1975: 0.0825 of it at pH 8.2 and 25 °C (computed).
    assert (first.label, first.number, first.unit) == ("Un-ionised ammonia", "0.041", "mg/L as N")
    assert float(first.doubt) == pytest.approx(told.doubts["nh3"], rel=0.05)


def test_what_matters_most_comes_first_and_is_the_whole_bar() -> None:
    # pH counts: d ln NH3 / d pH = ln 10 x (1 - share), so 0.1 is 21 %; TAN's own doubt is 10 %.
    told = sensitivity(answer(calculation("unionised-ammonia"), AMMONIA))

    assert told is not None
    assert (told.label, told.unit) == ("Un-ionised ammonia", "mg/L as N")
    found = told.effects
    shares = {effect.label: effect.share for effect in found}
    assert (found[0].label, found[0].share) == ("pH", 100)
    assert found[0].more.startswith("+")
    assert found[0].less.startswith("−")
    assert 0 < shares["Total ammonia"] < 60
    assert list(shares.values()) == sorted(shares.values(), reverse=True)


def test_an_output_that_nothing_moves_is_passed_over() -> None:
    # A ramp takes the same whole days whichever way its water is off by 5 %; its salt does not.
    typed = {ask.name: ask.example for ask in calculation("salinity-ramp").asks}

    told = sensitivity(answer(calculation("salinity-ramp"), typed))

    assert told is not None
    assert told.label != calculation("salinity-ramp").outputs[0].label
    assert told.effects[0].share == 100


def test_where_nothing_is_doubtful_nothing_matters() -> None:
    typed = {ask.name: ask.example for ask in calculation("nitrogen-bases").asks}

    assert sensitivity(answer(calculation("nitrogen-bases"), typed)) is None
