"""The sheet of a dose: what stops it, how one stop is set aside, and what is only previewed."""

import re
from decimal import Decimal

import pytest
from django.test import Client
from django.utils import timezone

from quarantine.models import (
    Override,
    TreatmentDose,
)
from tests.cast import NOON, PASSWORD, House
from tests.quarantine.treating import (
    Told,
    computed_by,
    dose_of,
    told_course,
)
from tests.tanks.estate import device_on

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)


def hidden(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return found[1]


CARRIED = (
    "id",
    "dose_id",
    "giver_id",
    "container_id",
    "stop",
    "intent",
    "rise",
    "amount",
    "seen_members",
    "seen_litres",
    "happened_at",
)


def sheet_of(told: Told, page: str, *, amount: str) -> dict[str, str]:
    """The sheet of a dose as the page made it, with what was measured out."""
    return {
        "id": hidden(page, "id"),
        "container": str(told.container.pk),
        "intent": "START",
        "rise": "0.18",
        "amount": amount,
        "happened_at": "2026-03-29T13:00",
        "seen_members": hidden(page, "seen_members"),
        "seen_litres": hidden(page, "seen_litres"),
    }


def test_a_stopped_dose_says_every_reason_and_keeps_what_was_typed(
    house: House, client: Client
) -> None:
    told = told_course(house)
    device_on(house, told.vessel, kind="CARBON", name="Carbon 1")
    client.force_login(house.mo)
    address = f"/courses/{told.course.pk}/dose/"
    page = client.get(address).content.decode()
    assert "Measure out" in page
    assert "0.28" in page
    sheet = sheet_of(told, page, amount="2.83")

    stopped = client.post(address, sheet)
    text = stopped.content.decode()

    assert stopped.status_code == 422
    assert "Carbon 1 runs" in text
    assert "A second person must work this dose out" in text
    assert 'value="2.83"' in text
    assert "stop=device-on" in text
    assert not TreatmentDose.objects.exists()


def test_one_stop_set_aside_from_the_sheet_leads_back_to_the_same_dose(
    house: House, client: Client
) -> None:
    told = told_course(house)
    device_on(house, told.vessel, kind="CARBON", name="Carbon 1")
    computed_by(told, dose_of(told), house.ana)
    client.force_login(house.mo)
    address = f"/courses/{told.course.pk}/dose/"
    sheet = sheet_of(told, client.get(address).content.decode(), amount="0.283")

    stopped = client.post(address, sheet).content.decode()
    way = re.search(r'href="([^"]*override[^"]*stop=device-on[^"]*)"', stopped)
    assert way
    override = way[1].replace("&amp;", "&")
    shown = client.get(override).content.decode()
    assert "Carbon 1 runs" in shown
    signing = {name: hidden(shown, name) for name in CARRIED}
    signing |= {"why": "Empty of carbon since May", "meaning": "I set it aside.", "minutes": ""}
    signed = client.post(override, signing | {"password": PASSWORD})
    assert signed.status_code == 303, signed.content.decode()
    assert Override.objects.get().stop == "device-on"

    back = client.get(signed["Location"]).content.decode()
    kept = sheet_of(told, back, amount="0.283")
    assert kept["id"] == sheet["id"]
    given_now = client.post(address, kept)
    assert given_now.status_code == 303, given_now.content.decode()
    assert TreatmentDose.objects.get().amount == Decimal("0.283")


def test_a_preview_computes_and_keeps_nothing(house: House, client: Client) -> None:
    told = told_course(house)
    client.force_login(house.ana)
    page = client.get(f"/courses/{told.course.pk}/dose/").content.decode()
    sheet = sheet_of(told, page, amount="") | {"rise": "0.09", "preview": "1"}

    part = client.post(
        f"/courses/{told.course.pk}/dose/", sheet, headers={"HX-Request": "true"}
    ).content.decode()
    whole = client.post(f"/courses/{told.course.pk}/dose/", sheet)

    assert "0.141" in part
    assert whole.status_code == 200
    assert not TreatmentDose.objects.exists()
