"""A calculated dose: where it is logged, and the paper it is measured out by."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import timedelta
from io import BytesIO
from typing import Any, Final
from urllib.parse import parse_qs, urlsplit

import pypdf
import pytest
from django.test import Client
from django.urls import reverse

from chemistry.calculator import Answer, answer
from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.terms import (
    Calculation,
    Dosed,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.domain import CONCENTRATION
from chemistry.dosing import ammonium_chloride_g
from facility.models import Entry, Person
from facility.paper.draw import draw
from tanks.models import Vessel
from tanks.paper.dose_sheets import Asked, dose_sheet_of
from tanks.queries.filling import Filled, fillings
from tanks.queries.waters import water_of
from tanks.rules.dosed import calculated_dose
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.shelf import shelved


def _salt(*, volume: float, rise: float) -> Worked:
    salt_g = ammonium_chloride_g(tan_mg_l_n=rise, volume_l=volume)
    return Worked(
        values={"salt": salt_g},
        working=(f"{rise:g} mg/L as N × {volume:g} L = {rise * volume / 1000:g} g of N",),
        notes=("Read again after an hour.",),
        method="NH4Cl by molar mass",
    )


_RISE: Final = Input(
    name="rise",
    label="Rise of TAN",
    unit="mg/L as N",
    accepted=CONCENTRATION,
    example="2 mg/L as N",
)
_SALT: Final = Calculation(
    name="salt-for-ammonia",
    question="How much salt?",
    subject=Subject.DOSING,
    asks=(VOLUME, _RISE),
    outputs=(Output(name="salt", label="Ammonium chloride", unit="g"),),
    formula="rise × volume × 53.49 / 14.007",
    sources=(Source(text="CIAAW standard atomic weights", mark="found"),),
    cautions=("Keep it away from bleach.",),
    solve=_salt,
    doses=Dosed(substance="ammonium chloride", amount="salt", raises="tan", rise="rise"),
)


def worked(volume: str = "400", rise: str = "2 mg/L as N") -> Answer:
    return answer(_SALT, {"volume": volume, "rise": rise})


def changed(doses: Dosed | None) -> Answer:
    return answer(replace(_SALT, doses=doses), {"volume": "400", "rise": "2"})


def printed(found: Mapping[str, Filled], *, told: Answer, house: House, tank: Vessel) -> str:
    dose = calculated_dose(told)
    assert dose is not None
    asked = Asked(
        by="Ana Quill",
        at=NOON,
        zone=house.site.zone,
        water=water_of(tank, at=NOON + timedelta(hours=2)),
        fillings=found,
    )
    pdf = draw(dose_sheet_of(told, dose, asked))
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_a_dose_is_rounded_to_what_a_scale_shows_and_aimed_at_its_purpose() -> None:
    dose = calculated_dose(worked())

    # 0.8 g of N x 53.49 / 14.007 = 3.055 g (CIAAW weights); a pocket scale shows 0.01 g.
    assert dose is not None
    assert dose.exact == pytest.approx(3.055, abs=1e-3)
    assert (str(dose.rounded), dose.unit) == ("3.05", "g")
    assert dose.purpose == "AMMONIA"
    assert dose.target == pytest.approx(2)


def test_a_substance_the_log_does_not_know_has_no_purpose() -> None:
    dose = calculated_dose(changed(Dosed(substance="calcium chloride", amount="salt", rise="rise")))

    assert dose is not None
    assert (dose.purpose, dose.target) == ("", None)


def test_what_is_no_dose_is_none() -> None:
    assert calculated_dose(changed(None)) is None
    assert calculated_dose(worked(rise="0 mg/L as N")) is None


def test_the_sheet_tells_what_how_much_for_which_water_and_from_where(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    for vessel, litres in ((tank, "100"), (system, "300")):
        measured(house, vessel, litres=litres)
    opened(house, tank, system)
    found = fillings(_SALT, water_of(tank, at=NOON + timedelta(hours=2)))

    text = printed(found, told=worked(), house=house, tank=tank)

    for words in (
        "Dose sheet",
        "3.05 g (computed 3.055 g)",
        "S-1 (S-1, A-01) at Kestrel Yard",
        "S-1 300 L by metered fill, 2 h ago; A-01 100 L by metered fill, 2 h ago.",
        "Caution. Keep it away from bleach.",
        "2 mg/L as N × 400 L = 0.8 g of N",
        "CIAAW standard atomic weights (found)",
        "by Ana Quill. Kept nowhere: log the dose once it is in.",
        "Measured out",
        "Checked, by a second person",
    ):
        assert words in text
    assert "digest" not in text


BICARBONATE: Final = {"rise": "1", "rise_in": "meq/L", "volume": "400"}


def asked(by: Person, page: str, /, **query: str) -> Any:
    client = Client()
    client.force_login(by)
    return client.get(reverse(f"tanks:{page}", args=["bicarbonate-dose"]), query)


def test_an_answer_leads_to_its_paper_and_to_the_log(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    before = Entry.objects.count()

    page = asked(house.ana, "calculate", **BICARBONATE, vessel=str(tank.pk)).content.decode()
    pdf = asked(house.ana, "dose-sheet", **BICARBONATE, vessel=str(tank.pk))

    # 0.4 eq x 84.007 g/mol of NaHCO3 = 33.6 g (CIAAW weights).
    log = f"{reverse('tanks:log-dose', args=[tank.pk])}?purpose=ALKALINITY&amp;target=1"
    assert log in page
    assert "dose-sheet.pdf?vessel=" in page
    assert pdf.headers["Content-Type"] == "application/pdf"
    text = pypdf.PdfReader(BytesIO(pdf.content)).pages[0].extract_text()
    assert "33.6 g (computed 33.6" in text
    assert "A-01 400 L by metered fill" in " ".join(text.split())
    assert Entry.objects.count() == before


def test_the_last_figure_of_a_share_is_no_unit(house: House) -> None:
    page = asked(house.ana, "calculate", **BICARBONATE, purity="0.51").content.decode()

    # 33.603 g pure / 0.51 = 65.9 g.
    assert "<output>65.9 " in page


def test_the_log_of_doses_takes_the_target_and_leads_back(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    shelved(house, substance="SODIUM_BICARBONATE")
    client = Client()
    client.force_login(house.ana)

    answer = client.get(
        reverse("tanks:log-dose", args=[tank.pk]), {"purpose": "ALKALINITY", "target": "1"}
    )

    page = answer.content.decode()
    assert "Measure out <span>33.6" in page
    assert f"{reverse('tanks:calculate', args=['raise-ph'])}?vessel={tank.pk}" in page


def test_one_who_may_not_dose_prints_but_is_not_led_to_the_log(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")

    page = asked(house.hale, "calculate", **BICARBONATE, vessel=str(tank.pk)).content.decode()

    assert reverse("tanks:log-dose", args=[tank.pk]) not in page
    assert "dose-sheet.pdf" in page


@pytest.mark.parametrize("wrong", [{"rise": "much"}, {"rise": "0"}, {"volume": ""}])
def test_what_cannot_be_measured_out_leads_back_to_its_page(
    house: House, wrong: dict[str, str]
) -> None:
    answer = asked(house.ana, "dose-sheet", **BICARBONATE | wrong)

    assert answer.status_code == 303
    back = urlsplit(answer.headers["Location"])
    assert back.path == reverse("tanks:calculate", args=["bicarbonate-dose"])
    assert parse_qs(back.query).get("rise", [""])[0] == (BICARBONATE | wrong)["rise"]


def test_a_stranger_prints_no_sheet_for_this_water(house: House) -> None:
    tank = vessel_of(house)

    assert asked(house.bo, "dose-sheet", **BICARBONATE, vessel=str(tank.pk)).status_code == 404
    assert asked(house.bo, "dose-sheet", **BICARBONATE).status_code == 200


def test_a_volume_typed_over_is_told_as_typed(house: House) -> None:
    tank = vessel_of(house)
    measured(house, tank, litres="400")
    found = fillings(_SALT, water_of(tank, at=NOON + timedelta(hours=2)))

    text = printed(found, told=worked(volume="380 L"), house=house, tank=tank)

    assert "Typed over. Net volume: A-01 400 L by metered fill" in text


def test_an_unmeasured_water_fills_in_no_volume(house: House) -> None:
    tank = vessel_of(house)
    found = fillings(_SALT, water_of(tank, at=NOON))

    assert (found["volume"].text, found["volume"].says) == (
        "",
        "Net volume unknown: A-01 not measured.",
    )
    assert "Typed. Net volume unknown" in printed(found, told=worked(), house=house, tank=tank)
