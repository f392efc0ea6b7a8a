"""Entries and their units, against definitions and printed values."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.entries import Entered, Unreadable, parse_entry
from tanks.rules.values import (
    MEASURES,
    Interval,
    Measure,
    UnknownUnit,
    canonical,
    measure_of,
    oxygen_in,
)


@pytest.mark.parametrize(
    ("text", "qualifier", "value", "upper"),
    [
        ("0.5", "EQUAL", "0.5", None),
        (" 0,5 ", "EQUAL", "0.5", None),
        ("0,250", "EQUAL", "0.25", None),
        ("<0.25", "BELOW", "0.25", None),
        ("< 0,25", "BELOW", "0.25", None),
        (">5", "ABOVE", "5", None),
        ("10-20", "BETWEEN", "10", "20"),
        ("10 – 20", "BETWEEN", "10", "20"),
        ("between 10 and 20", "BETWEEN", "10", "20"),
        ("−1.5", "EQUAL", "-1.5", None),
        ("-2--1", "BETWEEN", "-2", "-1"),
    ],
)
def test_it_reads_what_people_write(
    text: str, qualifier: str, value: str, upper: str | None
) -> None:
    entered = parse_entry(text)

    assert (entered.qualifier, float(entered.value)) == (qualifier, float(value))
    assert entered.upper == (None if upper is None else pytest.approx(float(upper)))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a value"),
        ("abc", "not a value"),
        ("7 8", "not a value"),
        ("<", "not a value"),
        ("1e5", "not a value"),
        ("1,000", "Write 1000 or 1.000"),
        ("20-10", "Write the lower value first: 10-20"),
        ("5-5", "write 5 alone"),
        ("0.00001", "at most 4 decimals"),
        ("100000000", "more figures than can be kept"),
    ],
)
def test_it_says_how_to_write_what_it_cannot_read(text: str, words: str) -> None:
    with pytest.raises(Unreadable, match=words):
        parse_entry(text)


@given(st.decimals(0, 9999, places=4), st.decimals(1, 9999, places=4))
def test_a_bracket_reads_back_as_its_edges(low: Decimal, width: Decimal) -> None:
    assert parse_entry(f"{low}-{low + width}") == Entered("BETWEEN", low, low + width)


# Conventional atomic weights of CIAAW: N 14.007, O 15.999, H 1.008. Ratios to 1e-4.
@pytest.mark.parametrize(
    ("parameter", "basis", "as_n"),
    [
        ("TAN", "N", 1.0),
        ("TAN", "NH3", 0.822441),
        ("TAN", "NH4", 0.776484),
        ("NITRITE", "NO2", 0.304467),
        ("NITRATE", "NO3", 0.225905),
    ],
)
def test_nitrogen_counts_on_its_basis(parameter: str, basis: str, as_n: float) -> None:
    said = canonical(parameter, "EQUAL", 1, None, "mg/L", basis)

    assert said.low == pytest.approx(as_n, rel=1e-4)
    assert said.is_exact


def test_the_trap_of_the_ion_is_three_times_the_nitrogen() -> None:
    """A kit that reads 1 mg/L as NO2 and one that reads 1 mg/L as N differ 3.28 times."""
    ion = canonical("NITRITE", "EQUAL", 1, None, "mg/L", "NO2")
    nitrogen = canonical("NITRITE", "EQUAL", 1, None, "mg/L", "N")

    assert nitrogen.low / ion.low == pytest.approx(3.284429, rel=1e-4)
    assert nitrogen.gap_to(ion) > 0.6


# Definitions: 1 dKH is 10 mg/L CaO; 1 meq/L is half a millimole of CaCO3 (50.04 mg).
@pytest.mark.parametrize(
    ("value", "unit", "basis", "meq_l"),
    [(2.804, "dKH", "", 1.0), (50.04, "mg/L", "CaCO3", 1.0), (1.5, "meq/L", "", 1.5)],
)
def test_alkalinity(value: float, unit: str, basis: str, meq_l: float) -> None:
    said = canonical("ALKALINITY", "EQUAL", value, None, unit, basis)

    assert said.low == pytest.approx(meq_l, rel=2e-4)


# TEOS-10 through gsw: SG 1.025 is S 32.90 at 20/20, 33.19 at 25/25 and 32.58 at 60/60 °F;
# PSS-78: sea water of S 35 conducts 53.065 mS/cm at 25 °C (42.914 at 15 °C, its definition).
@pytest.mark.parametrize(
    ("value", "unit", "salinity"),
    [
        (1.025, "SG 20/20", 32.90),
        (1.025, "SG 25/25", 33.19),
        (1.025, "SG 60/60F", 32.58),
        (1.0, "SG 20/20", 0.0),
        (53.065, "mS/cm at 25", 35.0),
        (20, "g/kg", 20.0),
    ],
)
def test_salinity(value: float, unit: str, salinity: float) -> None:
    said = canonical("SALINITY", "EQUAL", value, None, unit, "")

    assert said.low == pytest.approx(salinity, abs=0.006)


def test_temperature_and_oxygen() -> None:
    """80 °F is 26.67 °C; fresh water at 25 °C holds 8.26 mg/L (Benson & Krause 1984)."""
    assert canonical("TEMPERATURE", "EQUAL", 80, None, "degF", "").low == pytest.approx(
        26.667, 1e-4
    )
    full = oxygen_in(Interval(100, 100), temperature_c=25.0, salinity_g_kg=0.0)
    anywhere = canonical("OXYGEN", "EQUAL", 100, None, "%", "")

    assert full.low == pytest.approx(8.263, abs=0.005)
    assert anywhere.low < full.low < anywhere.top
    assert not anywhere.is_exact


_WRITTEN = [(parameter, one) for parameter, each in MEASURES.items() for one in each]


@given(st.sampled_from(_WRITTEN), st.floats(0.05, 0.95))
def test_below_detection_is_never_a_value(pair: tuple[str, Measure], share: float) -> None:
    parameter, measure = pair
    limit = measure.low + share * (measure.high - measure.low)

    said = canonical(parameter, "BELOW", limit, None, measure.unit, measure.basis)

    assert said.low < said.top < float("inf")


def test_over_range_has_no_end_and_a_bracket_keeps_both() -> None:
    assert canonical("NITRITE", "ABOVE", 5, None, "mg/L", "N") == Interval(5, None)
    assert canonical("NITRATE", "BETWEEN", 10, 20, "mg/L", "N") == Interval(10, 20)


def test_the_list_of_units_is_closed() -> None:
    with pytest.raises(UnknownUnit, match="mg/L as N, mg/L as NO3"):
        measure_of("NITRATE", "ppm", "")
    with pytest.raises(UnknownUnit, match="SG 60/60F"):
        measure_of("SALINITY", "SG", "")
