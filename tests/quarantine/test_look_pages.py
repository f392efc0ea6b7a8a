"""The pages of looks, deaths, carcasses and tests, as keepers use them."""

import io
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from facility.models import Photo
from quarantine.models import Death, Finding, HealthRule, Lot, Necropsy, Observation
from quarantine.queries.carcasses import carcass_duties
from quarantine.queries.looks import tanks_held
from tanks.models import Vessel
from tests.cast import House
from tests.quarantine.dying import arrived, died, looked
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house, code="Q-01")


@pytest.fixture
def lot(house: House, tank: Vessel) -> Lot:
    return arrived(house, tank, count=40)


def _wall() -> str:
    return timezone.localtime(timezone.now()).strftime("%Y-%m-%dT%H:%M")


def _look(**changes: Any) -> dict[str, Any]:
    told = {"id": str(uuid4()), "feeding": "ATE", "respiration": "CALM", "happened_at": _wall()}
    return told | changes


def _picture() -> SimpleUploadedFile:
    file = io.BytesIO()
    Image.new("RGB", (60, 40), "teal").save(file, "JPEG")
    return SimpleUploadedFile("fish.jpg", file.getvalue(), content_type="image/jpeg")


def test_a_look_with_signs_and_a_photo(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    client.force_login(house.ana)
    address = reverse("quarantine:log-observation", args=[tank.pk])
    sheet = client.get(address).content.decode()

    told = _look(lot_id=str(lot.pk), signs=["SPOTS", "CLAMPED"], photo=_picture())
    answer = client.post(address, told)

    assert "L-0001 Danio rerio, 40 by the book" in sheet
    assert answer.status_code == 303
    row = Observation.objects.get()
    assert (row.lot, row.signs, row.photos) == (
        lot,
        ["SPOTS", "CLAMPED"],
        [Photo.objects.get().pk],
    )
    page = client.get(reverse("quarantine:tank-looks", args=[tank.pk])).content.decode()
    assert "fins clamped" in page
    assert f"/photos/{row.photos[0]}.jpg" in page


def test_a_look_that_lacks_a_word_comes_back_with_all_that_was_typed(
    house: House, tank: Vessel, client: Client
) -> None:
    client.force_login(house.ana)
    address = reverse("quarantine:log-observation", args=[tank.pk])

    answer = client.post(address, _look(signs=["OTHER"], seen_count="7", feeding=""))

    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Say in a few words what else was seen." in text
    assert 'value="7"' in text
    assert not Observation.objects.exists()


def test_a_file_that_is_no_picture_is_refused_in_a_sentence(
    house: House, tank: Vessel, client: Client
) -> None:
    client.force_login(house.ana)
    file = SimpleUploadedFile("notes.txt", b"no picture", content_type="text/plain")

    answer = client.post(reverse("quarantine:log-observation", args=[tank.pk]), _look(photo=file))

    assert answer.status_code == 422
    assert not Observation.objects.exists()


def test_deaths_take_a_lot_and_a_count(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    client.force_login(house.ana)
    address = reverse("quarantine:log-death", args=[tank.pk])
    told = {
        "id": str(uuid4()),
        "lot_id": str(lot.pk),
        "few": "2",
        "cause": "UNKNOWN",
        "carcass": "NECROPSY",
        "kind": "DIED",
        "alive_known": "BOOK",
        "happened_at": _wall(),
    }

    answer = client.post(address, told)

    death = Death.objects.get()
    assert answer.status_code == 303
    assert (death.change.count, death.alive_before) == (2, 40)
    page = client.get(reverse("quarantine:death", args=[death.pk])).content.decode()
    assert "2 of 40, 5 % (95 % interval 0.611 % to 16.9 %)" in page
    assert "Open it within an hour, or cool it now." in page
    more = client.post(address, told | {"id": str(uuid4()), "few": "more", "count": ""})
    assert "Write how many died." in more.content.decode()
    too_many = client.post(address, told | {"id": str(uuid4()), "few": "more", "count": "41"})
    assert "By the book Q-01 held" in too_many.content.decode()


def test_a_tank_without_animals_says_so(house: House, tank: Vessel, client: Client) -> None:
    client.force_login(house.ana)

    page = client.get(reverse("quarantine:log-death", args=[tank.pk])).content.decode()

    assert "By the book no animals are in Q-01" in page


def test_a_carcass_is_cooled_opened_and_its_clock_ends(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    now = timezone.now()
    death = died(house, lot, tank, at=now - HOUR / 2)
    client.force_login(house.ana)
    (due,) = carcass_duties(house.site.pk, now)
    assert due.due_at == death.happened_at + HOUR

    cooled = {"id": str(uuid4()), "carcass": "COOLED", "note": "Box 3", "happened_at": _wall()}
    client.post(reverse("quarantine:set-carcass", args=[death.pk]), cooled)
    (due,) = carcass_duties(house.site.pk, timezone.now())
    assert due.due_at == death.happened_at + 24 * HOUR
    opened = {
        "id": str(uuid4()),
        "examined": "1",
        "performed_by": "Vera Lund",
        "gross": "Gills pale",
        "cause": "PARASITE",
        "happened_at": _wall(),
    }
    answer = client.post(reverse("quarantine:log-necropsy", args=[death.pk]), opened)

    assert answer.status_code == 303
    assert Necropsy.objects.get().cause == "PARASITE"
    assert list(carcass_duties(house.site.pk, timezone.now())) == []
    page = client.get(reverse("quarantine:death", args=[death.pk])).content.decode()
    assert "Gills pale" in page


def test_a_death_is_taken_back_from_its_page(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    death = died(house, lot, tank, at=timezone.now())
    client.force_login(house.ana)

    client.post(
        reverse("quarantine:withdraw-death", args=[death.pk]),
        {"id": str(uuid4()), "reason": "It was asleep"},
    )

    page = client.get(reverse("quarantine:death", args=[death.pk])).content.decode()
    assert "Taken back by Ana Quill" in page
    assert "It was asleep" in page


def test_a_result_that_was_awaited_comes_in(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    client.force_login(house.ana)
    address = reverse("quarantine:log-finding", args=[tank.pk])
    told = {
        "id": str(uuid4()),
        "lot_id": str(lot.pk),
        "agent": "KHV",
        "method": "PCR",
        "sampled": "10",
        "result": "PENDING",
        "happened_at": _wall(),
    }
    client.post(address, told)
    waiting = Finding.objects.get()
    page = client.get(reverse("quarantine:tank-looks", args=[tank.pk])).content.decode()
    answer_url = f"{address}?answers={waiting.pk}"
    assert answer_url in page

    client.post(answer_url, told | {"id": str(uuid4()), "result": "NEGATIVE", "positive": "0"})

    assert [row.result for row in Finding.objects.current()] == ["NEGATIVE"]
    assert client.get(f"{address}?answers=nonsense").status_code == 404


def test_every_tank_with_animals_is_listed_with_its_last_look(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    now = timezone.now()
    looked(house, tank, at=now - 2 * HOUR, signs=("SPOTS",))
    died(house, lot, tank, at=now - HOUR, count=2)
    vessel_of(house, code="Q-02")
    client.force_login(house.hale)

    (one,) = tanks_held(house.site, at=now)
    page = client.get(reverse("quarantine:looks")).content.decode()

    assert (one.count, one.died_in_week) == (38, 2)
    assert one.latest is not None
    assert one.latest.signs == ("Spots",)
    assert "</time>: ate, spots" in page
    assert "Q-02" not in page


def test_the_rules_page_adopts_and_sets(house: House, client: Client) -> None:
    client.force_login(house.mo)
    page = reverse("quarantine:health-rules", args=[house.site.pk])
    assert "13 rules call as shipped" in client.get(page).content.decode()

    client.post(
        reverse("quarantine:adopt-health-rules", args=[house.site.pk]), {"id": str(uuid4())}
    )
    rule = HealthRule.objects.get(code="share-day")
    told = {
        "id": str(uuid4()),
        "is_on": "no",
        "level": "2",
        "level_elsewhere": "3",
        "days": "1",
        "share": "0.03",
        "least": "1",
        "source": "Our veterinarian",
    }
    answer = client.post(reverse("quarantine:set-health-rule", args=[rule.pk]), told)

    assert answer.status_code == 303, answer.content.decode()
    current = HealthRule.objects.get(code="share-day", period__endswith=None)
    assert (current.is_on, current.figures["share"]) == (False, 0.03)


def test_the_tank_page_leads_to_looks_and_deaths(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    died(house, lot, tank, at=timezone.now() - HOUR, count=2)
    client.force_login(house.ana)

    page = client.get(reverse("tanks:tank", args=[tank.pk])).content.decode()

    assert reverse("quarantine:log-death", args=[tank.pk]) in page
    assert reverse("quarantine:log-observation", args=[tank.pk]) in page
    assert "2 died within 7 days" in page


def test_all_well_keeps_a_look_of_each_tank_ticked_and_of_no_other(
    house: House, lot: Lot, tank: Vessel, client: Client
) -> None:
    second, third = vessel_of(house, code="Q-02"), vessel_of(house, code="Q-03")
    arrived(house, second)
    arrived(house, third)
    client.force_login(house.ana)
    address = reverse("quarantine:all-well", args=[house.area.pk])
    told = {
        "id": str(uuid4()),
        "feeding": "ATE",
        "vessels": [str(tank.pk), str(second.pk)],
        "happened_at": _wall(),
    }

    answer = client.post(address, told)
    again = client.post(address, told)
    none = client.post(address, told | {"id": str(uuid4()), "vessels": []})

    assert (answer.status_code, again.status_code, none.status_code) == (303, 303, 422)
    rows = Observation.objects.all()
    assert {row.vessel for row in rows} == {tank, second}
    assert {(row.feeding, row.respiration, tuple(row.signs)) for row in rows} == {
        ("ATE", "CALM", ())
    }
    client.force_login(house.hale)
    assert "Keepers record looks here." in client.get(address).content.decode()
