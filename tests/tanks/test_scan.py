"""From a printed label to its tank, and from a wrong one to nowhere."""

from datetime import timedelta
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import zxingcpp
from django.test import Client
from django.urls import reverse

from facility.models import Entry, Person
from facility.rules.codes import ALPHABET, check, printed
from tanks.commands.vessels import Relabel, RenameVessel, relabel, rename_vessel
from tanks.models import Vessel
from tests.cast import NOON, PASSWORD, House
from tests.facility.printing import printed_pages
from tests.tanks.estate import a_label, vessel_of


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def code_of(vessel: Vessel) -> str:
    return vessel.labels.get(retired_at=None).code


@pytest.mark.parametrize("shape", ["/t/{}/", "/t/{}", "/T/{}", "/T/{}/"])
def test_any_spelling_of_a_label_leads_to_its_tank(house: House, shape: str) -> None:
    vessel = vessel_of(house)
    code, client = code_of(vessel), signed_in(house.ana)

    for written in (code, code.lower(), printed(code)):
        answer = client.get(shape.format(written))
        assert (answer.status_code, answer["Location"]) == (303, f"/tanks/{vessel.pk}/")


def test_a_scan_records_nothing(house: House) -> None:
    code = code_of(vessel_of(house))
    before = Entry.objects.count()

    signed_in(house.ana).get(f"/T/{code}", follow=True)

    assert Entry.objects.count() == before


def test_signed_out_one_signs_in_once_and_lands_on_the_tank(house: House) -> None:
    vessel = vessel_of(house)
    client = Client()
    door = client.get(f"/T/{code_of(vessel)}")
    assert door.status_code == 302

    there = client.post(door["Location"], {"username": "ana", "password": PASSWORD}, follow=True)

    assert there.redirect_chain[-1] == (f"/tanks/{vessel.pk}/", 303)
    assert vessel.code in there.content.decode()


def test_a_renamed_tank_keeps_its_label(house: House) -> None:
    vessel = vessel_of(house)
    code = code_of(vessel)
    rename_vessel(RenameVessel(vessel_id=vessel.pk, code="Z-7", name=""), by=house.mo, at=NOON)

    assert signed_in(house.ana).get(f"/T/{code}")["Location"] == f"/tanks/{vessel.pk}/"


def test_a_label_out_of_use_opens_nothing(house: House) -> None:
    vessel = vessel_of(house)
    old = code_of(vessel)
    relabel(Relabel(vessel_id=vessel.pk, label=a_label()), by=house.mo, at=NOON + timedelta(days=1))

    answer = signed_in(house.ana).get(f"/T/{old}")

    assert answer.status_code == 410
    assert f"Label {printed(old)} was retired" in answer.content.decode()
    assert str(vessel.pk) not in answer.content.decode()


def test_a_mistyped_code_says_so(house: House) -> None:
    code = code_of(vessel_of(house))
    slip = code[:3] + ALPHABET[(ALPHABET.index(code[3]) + 1) % len(ALPHABET)] + code[4:]
    assert not check(slip)

    for wrong in (slip, code[:-1], code + "A", "0O1I", "é"):
        answer = signed_in(house.ana).get(f"/t/{wrong}/")
        assert answer.status_code == 404
        assert "is not a complete label code" in answer.content.decode()


def test_unknown_and_other_people_s_labels_look_the_same(house: House) -> None:
    theirs = code_of(vessel_of(house))
    unknown = a_label()

    for person, code in ((house.bo, theirs), (house.ana, unknown)):
        answer = signed_in(person).get(f"/t/{code}/")
        assert answer.status_code == 404
        assert "is none of ours" in answer.content.decode()


def test_a_code_can_be_typed(house: House) -> None:
    vessel = vessel_of(house)
    client = signed_in(house.ana)

    assert "Code on the label" in client.get(reverse("tanks:find-tank")).content.decode()
    there = client.get("/t/", {"code": printed(code_of(vessel)).lower()}, follow=True)

    assert there.redirect_chain[-1][0] == f"/tanks/{vessel.pk}/"


def test_printed_labels_decode_to_their_tanks(house: House, tmp_path: Path) -> None:
    vessels = [vessel_of(house, code=f"A-{number:02}") for number in range(5)]
    client = signed_in(house.ana)
    url = reverse("tanks:labels")

    answer = client.get(url, {"areas": str(house.area.pk), "paper": "a4"})

    assert answer["Content-Type"] == "application/pdf"
    (sheet,) = printed_pages(answer.content, tmp_path, dpi=300)
    texts = sorted(code.text for code in zxingcpp.read_barcodes(sheet))
    assert texts == sorted(f"HTTP://TESTSERVER/T/{code_of(vessel)}" for vessel in vessels)
    landed = {client.get(urlsplit(text).path)["Location"] for text in texts}
    assert landed == {f"/tanks/{vessel.pk}/" for vessel in vessels}


def test_labels_of_nothing_chosen_ask_for_a_choice(house: House) -> None:
    answer = signed_in(house.ana).get(reverse("tanks:labels"), {"paper": "a4"})

    assert answer.status_code == 422
    assert "Choose at least one tank" in answer.content.decode()


def test_nobody_prints_labels_of_another_house(house: House) -> None:
    vessel = vessel_of(house)

    answer = signed_in(house.bo).get(
        reverse("tanks:labels"), {"vessels": str(vessel.pk), "paper": "a4"}
    )

    assert answer.status_code == 422
