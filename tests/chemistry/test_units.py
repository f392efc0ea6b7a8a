"""Quantities as people write them; factors are definitions (NIST SP 811, App. B) unless noted."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.units import WrongKind, WrongUnit, magnitude, parse_quantity


@pytest.mark.parametrize(
    ("text", "to", "expected"),
    [
        ("100 gal_us", "L", 378.5411784),
        ("100 gal_imp", "L", 454.609),
        ("1 ft3", "L", 28.316846592),
        ("48 in", "cm", 121.92),
        ("1 lb", "g", 453.59237),
        ("1 tsp_us", "mL", 4.92892),
        ("2 tsp", "mL", 10.0),  # metric teaspoon, by convention
        ("78 degF", "degC", 25.5556),
        ("78F", "degC", 25.5556),
        ("77 °F", "degC", 25.0),
        ("-40 F", "degC", -40.0),
        ("1.0 mg/L", "mg/L", 1.0),
        ("250 µg/L", "mg/L", 0.25),
        ("250 \u03bcg/L", "mg/L", 0.25),  # the Greek letter, not the micro sign
        ("760 mmHg", "hPa", 1013.25),
        ("53071 µS/cm", "mS/cm", 53.071),
        ("35 ppt", "g/kg", 35.0),
        # Chemistry of the units themselves: molar masses, CIAAW weights.
        ("2.804 dKH", "meq/L", 1.0),
        ("50.04 mg/L CaCO3", "meq/L", 1.0),
        ("44.27 mg/L as NO3", "mg/L-N", 10.0),
        ("1.2159 mg/L NH3", "mg/L as N", 1.0),
        ("17.118 mg/L CaCO3", "gr/gal_us", 1.0),
        ("1 gpg", "mg/L as CaCO3", 17.118),
        ("5.0043 °fH", "meq/L", 1.0),
        ("1 °Clark", "mg/L CaCO3", 14.254),
        ("1000 µg/L as NO2", "mg/L as NO2", 1.0),
        ("71.393 µmol/L as N", "mg/L as N", 1.0),
        ("71.393 umol/L n", "mg/L-N", 1.0),
        ("420 µatm", "atm", 4.2e-4),
        ("29.921 inHg", "hPa", 1013.25),
        ("12.5", "L", 12.5),
    ],
)
def test_a_quantity_is_read_in_the_unit_asked_for(text: str, to: str, expected: float) -> None:
    assert parse_quantity(text, to=to) == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize(
    ("text", "to", "says"),
    [
        ("100 gal", "L", "gal_us or gal_imp"),
        ("2 ppm", "mg/L", "mg/L or mg/kg"),
        ("2 gr/gal", "meq/L", "gr/gal_us or degrees Clark"),
        ("2 umol/L", "mg/L-N", "cannot be turned into mg/L-N"),
        ("2 ML", "mL", "mL or m3"),
        ("2 L/0", "L", "not a unit known here"),
        ("2 mg/L", "mg/L-N", "cannot be turned into mg/L-N"),
        ("2 m", "L", "cannot be turned into L"),
        ("2 furble", "L", "not a unit known here"),
        ("1,5 L", "L", "decimal point"),
        ("some", "L", "not a number"),
        ("1.2.3 L", "L", "not a unit"),
        ("1e400 L", "L", "not a unit"),
        ("", "L", "not a number"),
    ],
)
def test_what_would_have_to_be_guessed_is_refused(text: str, to: str, says: str) -> None:
    with pytest.raises(WrongUnit, match=says):
        parse_quantity(text, to=to)


@pytest.mark.parametrize(
    ("text", "to", "given_kind", "asked_kind"),
    [
        ("78 F", "L", "a temperature", "a volume"),
        ("2 mg/L", "mg/L as N", "a concentration without a basis", "a concentration of nitrogen"),
        ("35 g/kg", "mS/cm", "a ratio", "a conductivity"),
        ("8 meq/L", "g", "an alkalinity", "a weight"),
    ],
)
def test_a_unit_of_another_kind_is_called_by_its_kind(
    text: str, to: str, given_kind: str, asked_kind: str
) -> None:
    with pytest.raises(WrongKind) as refused:
        parse_quantity(text, to=to)

    assert (refused.value.given_kind, refused.value.asked_kind) == (given_kind, asked_kind)


def test_a_number_apart_from_its_unit_is_converted_too() -> None:
    assert magnitude(78, "F", to="degC") == pytest.approx(25.5556, abs=1e-4)


@given(
    text=st.text(max_size=24)
    | st.text(alphabet="0123456789.,-+eE gmlLNKHdns/µ°%*()^_\"'", max_size=24)
    | st.text(alphabet="aegmlkLKµ/ ", max_size=8).map("2 {}".format)
)
def test_no_text_does_anything_worse_than_be_refused(text: str) -> None:
    try:
        read = parse_quantity(text, to="mg/L")
    except WrongUnit:
        return

    assert math.isfinite(read)


@given(litres=st.floats(min_value=1e-3, max_value=1e6))
def test_gallons_turned_into_litres_and_back_are_the_same(litres: float) -> None:
    there = magnitude(litres, "L", to="gal_imp")

    assert magnitude(there, "gal_imp", to="L") == pytest.approx(litres, rel=1e-12)


def test_chloramine_as_itself_is_a_third_more_as_chlorine() -> None:
    # Tests report chloramine as Cl2; counting it as NH2Cl is a factor 70.90/51.47 = 1.38 off.
    assert magnitude(1.0, "mg/L as NH2Cl", to="mg/L as Cl2") == pytest.approx(1.3774, abs=1e-4)
    assert magnitude(19, "µg/L as Cl2", to="mg/L as Cl2") == pytest.approx(0.019)


def test_chlorine_without_its_basis_is_refused() -> None:
    with pytest.raises(WrongUnit):
        magnitude(1.0, "mg/L", to="mg/L as Cl2")
