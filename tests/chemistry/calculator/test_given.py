"""What people type, read or refused with a sentence that names the field and the mend."""

import math
from dataclasses import replace

import pytest

from chemistry.calculator import BadInput, Calculation, answer, calculation, read
from chemistry.calculator.terms import (
    Choice,
    Input,
    Option,
    Output,
    Series,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.domain import Range, within

AMMONIA = {
    "tan": "1.0 mg/L as N",
    "ph": "8.0",
    "scale": "NBS",
    "temperature": "25 degC",
    "salinity": "0",
}
SHARES = Range(name="share", unit="", low=0.0, high=1.0)
COUNT = Range(name="count", unit="", low=1, high=10)
LITRES = Range(name="volume", unit="L", low=0.0, high=100.0)
COLD = Range(name="temperature", unit="°C", low=0.0, high=10.0, source="a table")


def _solve(
    *,
    readings: tuple[float, ...],
    count: float,
    share: float,
    shape: str,
    temperature: float = 5.0,
    spare: float = 0.0,
) -> Worked:
    within(COLD, temperature_c=temperature)
    if count > len(readings):
        raise Unsolved("There are fewer readings than that: give more.", field="count")
    total = sum(readings) * share / (count - 9) + spare
    return Worked(values={"total": total}, working=(shape,))


INVENTED = Calculation(
    name="invented",
    question="What comes of it?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="readings",
            label="Volumes",
            unit="L",
            units=("L", "mL"),
            accepted=LITRES,
            fewest=2,
            most=10,
            example="1 2 L",
        ),
        Input(name="count", label="Count", unit="", accepted=COUNT, whole=True, example="2"),
        Input(
            name="share",
            label="Share",
            unit="",
            units=("", "%"),
            accepted=SHARES,
            default="50 %",
            example="0.5",
        ),
        Choice(
            name="shape",
            label="Shape",
            options=(
                Option(value="round", label="a cylinder"),
                Option(value="flat", label="a box"),
            ),
            example="flat",
        ),
        Input(
            name="temperature",
            label="Temperature",
            unit="degC",
            accepted=Range(name="temperature", unit="°C", low=-2.0, high=50.0),
            optional=True,
            example="5",
        ),
        Input(
            name="spare",
            label="Spare volume",
            unit="L",
            accepted=LITRES,
            needs_unit=True,
            optional=True,
            example="1 L",
        ),
    ),
    outputs=(Output(name="total", label="Total", unit="L"),),
    formula="share of the sum",
    sources=(Source(text="invented for this test", mark="common practice"),),
    solve=_solve,
)
GOOD = {"readings": "1 2 L", "count": "2", "shape": "flat"}


def faults(asked: Calculation, told: dict[str, str]) -> dict[str, str]:
    with pytest.raises(BadInput) as refused:
        answer(asked, told)
    return refused.value.faults


def test_what_was_typed_becomes_canonical() -> None:
    told = AMMONIA | {"tan": "1.2159 mg/L as NH3", "temperature": "77F", "scale": "nbs"}

    values = read(calculation("unionised-ammonia"), told)

    assert values["tan"] == pytest.approx(1.0, rel=1e-4)  # molar masses, CIAAW
    assert values["temperature"] == pytest.approx(25.0)
    assert values["scale"] == "NBS"


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        (
            "tan",
            "1.0",
            "Total ammonia needs its basis: write 1 mg/L as N, mg/L as NH3 or mg/L as NH4.",
        ),
        (
            "tan",
            "1.0 mg/L",
            "Total ammonia needs its basis: write 1 mg/L as N, mg/L as NH3 or mg/L as NH4.",
        ),
        (
            "tan",
            "2 ppm",
            "Total ammonia needs its basis: write 2 mg/L as N, mg/L as NH3 or mg/L as NH4.",
        ),
        ("tan", "", "Total ammonia is missing: write it like “1.0 mg/L as N”."),
        (
            "temperature",
            "100 gal_us",
            (
                "Temperature: a temperature is asked and “100 gal_us” is a volume; "
                "write it like “25 degC”."
            ),
        ),
        (
            "ph",
            "8,0",
            "pH: “8,0” cannot be read as a number with a decimal point; write it like “8.0”.",
        ),
        ("ph", "8 L", "pH has no unit and “8 L” is a volume; write it like “8.0”."),
        ("ph", "12", "pH of 12 is outside 4 to 11; check the number and its unit."),
        (
            "salinity",
            "1.025",
            (
                "Salinity: “1.025” looks like a specific gravity: "
                "turn it into salinity first, or write its unit."
            ),
        ),
        ("scale", "", "pH scale is missing: choose NBS, total, sea-water or free."),
        (
            "scale",
            "any",
            "pH scale: “any” is not on the list; choose NBS, total, sea-water or free.",
        ),
    ],
)
def test_a_fault_names_the_field_and_the_mend(field: str, typed: str, sentence: str) -> None:
    assert faults(calculation("unionised-ammonia"), AMMONIA | {field: typed}) == {field: sentence}


def test_all_faults_are_told_at_once() -> None:
    told = {"tann": "1 mg/L as N", "ph": "twelve", "temperature": "25", "salinity": "35 mS/cm"}

    found = faults(calculation("unionised-ammonia"), told)

    assert set(found) == {"tann", "tan", "ph", "scale", "salinity"}
    assert found["tann"].startswith("“tann” is not asked here. Did you mean tan?")


def test_what_only_the_formula_refuses_lands_beside_its_ask() -> None:
    warm = AMMONIA | {"temperature": "45", "salinity": "30"}

    assert faults(calculation("unionised-ammonia"), warm) == {
        "temperature": "Temperature: the temperature of 45 °C is outside 0 to 40 °C "
        "(US EPA 1989); check the number and its unit."
    }
    assert list(faults(INVENTED, GOOD | {"temperature": "20"})) == ["temperature"]
    assert faults(INVENTED, GOOD | {"count": "3"}) == {
        "count": "There are fewer readings than that: give more."
    }


def test_what_no_single_ask_explains_is_told_of_all() -> None:
    nine = GOOD | {"readings": "1 " * 10, "count": "9"}

    assert list(faults(INVENTED, nine)) == [""]


@pytest.mark.parametrize("total", [math.inf, math.nan])
def test_no_answer_is_ever_endless_or_not_a_number(total: float) -> None:
    endless = replace(INVENTED, solve=lambda **_: Worked(values={"total": total}, working=()))

    assert list(faults(endless, GOOD)) == [""]


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        ("1 2", (1.0, 2.0)),
        ("1;2", (1.0, 2.0)),
        ("1, 2", (1.0, 2.0)),
        ("1 2 L", (1.0, 2.0)),
        ("1000 2000 mL", (1.0, 2.0)),
        ("1\n2\n.5", (1.0, 2.0, 0.5)),
        ("1e0 +2", (1.0, 2.0)),
    ],
)
def test_a_list_is_read_in_order_with_one_unit(typed: str, values: tuple[float, ...]) -> None:
    read_values = read(INVENTED, GOOD | {"readings": typed})["readings"]

    assert read_values == pytest.approx(values)


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("readings", "1", "2 to 10 numbers are asked and 1 given"),
        ("readings", "1 " * 11, "2 to 10 numbers are asked and 11 given"),
        ("readings", "1,2 3,4", "“1,2 3,4” cannot be read as a number with a decimal point"),
        ("readings", "1 L 2 L", "“L 2 L” cannot be read as a number"),
        ("readings", "1 200", "Volumes of 200 L is outside 0 to 100 L"),
        ("readings", "nothing", "2 to 10 numbers are asked and 0 given"),
        ("readings", "1 2 m", "a volume is asked and “1 m” is a length"),
        ("count", "2.5", "Count: “2.5” is not a whole number"),
        ("share", "150 %", "Share of 1.5 is outside 0 to 1"),
        ("spare", "1 furble", "“furble” is not a unit known here; write L."),
        ("spare", "1", "Spare volume needs its unit: write 1 L."),
        ("spare", "1 gal", "Spare volume: “gal” is ambiguous: write gal_us or gal_imp"),
        ("readings", "1 " * 6000, "that is too long"),
    ],
)
def test_lists_shares_and_counts_are_refused_with_a_sentence(
    field: str, typed: str, says: str
) -> None:
    found = faults(INVENTED, GOOD | {field: typed})

    assert list(found) == [field]
    assert says in found[field]


def test_a_default_counts_when_nothing_is_typed_and_is_shown_as_given() -> None:
    made = answer(INVENTED, GOOD | {"share": "  "})

    assert {one.ask.name: one.typed for one in made.given}["share"] == "50 %"
    assert made.values["total"] == pytest.approx(1.5 / (2 - 9))


def test_a_bound_reached_by_a_conversion_is_still_inside() -> None:
    # 122 °F is exactly 50 °C, but floating point may say a little more.
    told = GOOD | {"temperature": "28.399999999999977 degF"}

    assert read(INVENTED, told)["temperature"] == pytest.approx(-2.0)
