"""The calculators' pages: each calculation is a link, filled in from a water or by hand."""

from datetime import timedelta
from html import unescape
from typing import Any
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from chemistry.calculator import CALCULATIONS, Calculation
from facility.models import Person
from tanks.models import Vessel
from tests.cast import House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged

AMMONIA = "unionised-ammonia"
# 0.5 mg/L-N x 0.0825 of it un-ionised at pH 8.2 and 25 °C in fresh water = 0.041.
# Emerson et al. 1975, J. Fish. Res. Board Can. 32:2379, table of fractions (found).
TYPED = {
    "tan": "0.5",
    "tan_in": "mg/L as N",
    "ph": "8.2",
    "scale": "NBS",
    "temperature": "25",
    "temperature_in": "degC",
    "salinity": "0",
    "salinity_in": "g/kg",
}
ANSWER = "0.041"


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


def asked(by: Person, name: str = AMMONIA, /, **query: str) -> Any:
    client = Client()
    client.force_login(by)
    return client.get(f"{reverse('tanks:calculate', args=[name])}?{urlencode(query)}")


def text(answer: Any) -> str:
    written: bytes = answer.content
    return written.decode()


def result(answer: Any) -> str:
    """What stands in the large figure, or nothing."""
    page = text(answer)
    return page.split("<output>")[1].split(" ")[0] if "<output>" in page else ""


def value(answer: Any, name: str) -> str:
    field = text(answer).split(f'name="{name}"')[1].split(">")[0]
    return field.split('value="')[1].split('"')[0] if "value=" in field else ""


def read(house: House, tank: Vessel, parameter: str, entry: str, *, hours: float = 1) -> None:
    at = timezone.now() - timedelta(hours=hours)
    logged(house, tank, kit(house, parameter), entry, at=at)


def test_a_calculation_is_a_link(house: House) -> None:
    answer = asked(house.ana, **TYPED)

    assert answer.status_code == 200
    assert result(answer) == ANSWER
    for words in ("Working", "What matters most", "Emerson", "pH dominates"):
        assert words in text(answer)


def test_a_unit_behind_the_number_counts(house: House) -> None:
    answer = asked(house.ana, **TYPED | {"tan": "0.6434 mg/L as NH4", "temperature": "77 degF"})

    # NH4+ 18.039 g/mol, N 14.007 g/mol (CIAAW weights): 0.6434 x 14.007 / 18.039 = 0.4996.
    assert result(answer) == ANSWER
    assert '<option value="mg/L as NH4" selected>' in text(answer)


def test_a_comma_is_a_decimal_point(house: House) -> None:
    assert result(asked(house.ana, **TYPED | {"ph": "8,2", "tan": "0,5"})) == ANSWER


def test_a_basis_is_never_guessed_and_nothing_typed_is_lost(house: House) -> None:
    answer = asked(house.ana, **TYPED | {"tan_in": ""})

    assert answer.status_code == 422
    assert "Total ammonia needs its basis" in text(answer)
    assert value(answer, "tan") == "0.5"
    assert value(answer, "ph") == "8.2"
    assert result(answer) == ""


def test_all_that_is_wrong_is_told_at_once(house: House) -> None:
    answer = asked(house.ana, **TYPED | {"tan": "much", "ph": "", "temperature": "400"})

    page = text(answer)
    assert answer.status_code == 422
    for label in ("Total ammonia: ", "pH is missing", "Temperature of 400"):
        assert label in page
    assert value(answer, "tan") == "much"


def test_a_specific_gravity_is_not_taken_for_salinity(house: House) -> None:
    answer = asked(house.ana, **TYPED | {"salinity": "1.025"})

    assert answer.status_code == 422
    assert "specific gravity" in text(answer)


@pytest.mark.parametrize("name", ["tan", "tan_in", "scale"])
@pytest.mark.parametrize(
    "junk", ["<b>much</b>", "nan", "1e999", "9" * 500, "\0", "1,000", "0.5 0.5", "⅒", "mg/L"]
)
def test_junk_is_a_fault_that_stays_to_be_seen(house: House, name: str, junk: str) -> None:
    answer = asked(house.ana, **TYPED | {name: junk})

    assert answer.status_code == 422
    assert "Not calculated yet" in text(answer)
    assert "<b>" not in text(answer)
    if name == "tan" and "\0" not in junk:
        assert unescape(value(answer, "tan")) == junk


def test_an_untouched_sheet_is_no_fault(house: House) -> None:
    answer = asked(house.ana)

    assert answer.status_code == 200
    assert "Not calculated yet" not in text(answer)


def test_the_live_part_comes_alone_and_says_what_is_missing(house: House) -> None:
    client = Client(headers={"HX-Request": "true"})
    client.force_login(house.ana)
    whole = client.get(reverse("tanks:calculate", args=[AMMONIA]), TYPED)
    part = client.get(reverse("tanks:calculate", args=[AMMONIA]), TYPED | {"ph": ""})

    assert "<html" not in text(whole)
    assert result(whole) == ANSWER
    assert 'id="grounds" class="grounds" hx-swap-oob' in text(whole)
    assert part.status_code == 200
    assert "pH is missing" in text(part)
    assert "HX-Request" in part.headers["Vary"]


def test_every_calculation_answers_its_examples(house: House) -> None:
    for entry in CALCULATIONS:
        answer = asked(house.hale, entry.name, **{ask.name: ask.example for ask in entry.asks})

        assert answer.status_code == 200, entry.name
        assert result(answer), entry.name
        assert escape(entry.sources[0].text) in text(answer), entry.name


@pytest.mark.parametrize("entry", CALCULATIONS, ids=lambda entry: entry.name)
def test_no_ask_takes_the_name_of_what_the_page_itself_asks(entry: Calculation) -> None:
    names = [ask.name for ask in entry.asks]

    assert not {"vessel", "fill"} & set(names)
    assert not {f"{name}_in" for name in names} & set(names)


def test_a_water_fills_in_its_volume_and_readings(house: House, tank: Vessel) -> None:
    for parameter, entry in (("TAN", "0.5"), ("PH", "8.2"), ("TEMPERATURE", "25")):
        read(house, tank, parameter, entry)
    read(house, tank, "SALINITY", "0")

    answer = asked(house.ana, vessel=str(tank.pk))

    assert result(answer) == ANSWER
    assert "Read 0.5 mg/L as N 60 min ago, " in text(answer)
    assert "; Kit for TAN, Ana Quill." in text(answer)
    assert "The scale of the pH reading." in text(answer)
    assert "counts as fresh" not in text(answer)


def test_any_vessel_names_its_water(house: House, tank: Vessel) -> None:
    system = system_of(house)
    measured(house, system, litres="1600")
    opened(house, tank, system)
    read(house, system, "PH", "7.9")

    answer = asked(house.ana, vessel=str(tank.pk))

    assert value(answer, "ph") == "7.9"
    assert f'<option value="{system.pk}" selected>' in text(answer)


def test_what_is_filled_in_may_be_typed_over(house: House, tank: Vessel) -> None:
    read(house, tank, "PH", "7.9")

    answer = asked(house.ana, **TYPED, vessel=str(tank.pk))

    assert result(answer) == ANSWER
    assert "Typed over. Read 7.9" in text(answer)


def test_filling_in_keeps_what_the_water_does_not_know(house: House, tank: Vessel) -> None:
    read(house, tank, "PH", "7.9")

    answer = asked(house.ana, **TYPED | {"temperature": ""}, vessel=str(tank.pk), fill="1")

    assert answer.status_code == 200
    assert (value(answer, "ph"), value(answer, "tan")) == ("7.9", "0.5")


@pytest.mark.parametrize(
    ("entry", "typed", "says"),
    [
        ("<0.25", "0.25", "its limit, 0.25, is used"),
        ("0.25-0.5", "0.5", "the upper one, 0.5, is used"),
        (">5", "", "no number to use"),
    ],
)
def test_a_bracket_fills_in_its_upper_end_and_says_so(
    house: House, tank: Vessel, entry: str, typed: str, says: str
) -> None:
    read(house, tank, "TAN", entry)

    answer = asked(house.ana, vessel=str(tank.pk))

    assert value(answer, "tan") == typed
    assert says in text(answer)


def test_an_old_reading_is_flagged_by_the_policy(house: House, tank: Vessel) -> None:
    read(house, tank, "PH", "7.9", hours=25)

    # The shipped policy counts a reading as fresh for 24 h.
    assert "Older than the 24 h that the policy" in text(asked(house.ana, vessel=str(tank.pk)))


def test_a_reading_keeps_its_own_basis(house: House, tank: Vessel) -> None:
    method = kit(house, "TAN", unit="mg/L", basis="NH4")
    logged(house, tank, method, "0.64", at=timezone.now() - timedelta(hours=1))

    answer = asked(house.ana, vessel=str(tank.pk))

    assert value(answer, "tan") == "0.64"
    assert '<option value="mg/L as NH4" selected>' in text(answer)


def test_what_is_not_offered_is_turned_into_the_canonical_unit(house: House, tank: Vessel) -> None:
    # Specific gravity 1.0264 at 25/25 °C is 35 g/kg: chemistry.md's printed pair, gsw (computed).
    method = kit(house, "SALINITY", kind="PROBE", unit="SG 25/25", basis="")
    logged(house, tank, method, "1.0264", at=timezone.now() - timedelta(hours=1))

    assert float(value(asked(house.ana, vessel=str(tank.pk)), "salinity")) == pytest.approx(
        35, abs=0.2
    )


def test_a_stranger_chooses_no_water_of_this_house(house: House, tank: Vessel) -> None:
    assert asked(house.bo, vessel=str(tank.pk)).status_code == 404
    assert "A-01" not in text(asked(house.bo))
    assert asked(house.bo, **TYPED).status_code == 200


@pytest.mark.parametrize("vessel", ["A-01", "0"])
def test_junk_is_no_water(house: House, vessel: str) -> None:
    assert asked(house.ana, vessel=vessel).status_code == 404


def test_an_unknown_calculation_is_no_page(house: House) -> None:
    assert asked(house.ana, "unionized-ammonia").status_code == 404


def listed(by: Person, **query: str) -> str:
    client = Client()
    client.force_login(by)
    return text(client.get(reverse("tanks:calculations"), query))


def test_the_list_asks_in_plain_words_and_is_searched(house: House, tank: Vessel) -> None:
    page = listed(house.ana)
    assert all(escape(entry.question) in page for entry in CALCULATIONS)

    found = listed(house.ana, q="UN-IONISED Temperature", vessel=str(tank.pk))

    assert f"{reverse('tanks:calculate', args=[AMMONIA])}?vessel={tank.pk}" in found
    assert "Nothing here speaks of “xyzzy”" in listed(house.ana, q="xyzzy")


def test_signed_out_is_asked_to_sign_in(house: House) -> None:
    for url in (reverse("tanks:calculations"), reverse("tanks:calculate", args=[AMMONIA])):
        answer = Client().get(url)
        assert (answer.status_code, "sign-in" in answer.headers["Location"]) == (302, True)
