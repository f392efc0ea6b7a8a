"""Kit and hands between a dirty area and a cleaner one: asked once, on whatever page comes next."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from facility.commands import breaks
from facility.commands.breaks import take_break
from facility.commands.places import OpenArea, open_area
from facility.models import Area, HygieneBreak
from facility.queries import hygiene
from facility.refusals import NotAllowed, NotFound
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.facility.loose import break_of
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def sick_bay(house: House) -> Vessel:
    """A tank in an area of rank 6; the cast's own area has rank 1."""
    corner = OpenArea(id=uuid4(), site_id=house.site.pk, name="Sick bay", hygiene_rank=6)
    area = open_area(corner, by=house.mo, at=NOON)
    vessel = vessel_of(house, code="Z-01")
    Vessel.objects.filter(pk=vessel.pk).update(area=area)
    return Vessel.objects.get(pk=vessel.pk)


def asked(house: House, area: Area, *, minutes: int) -> object:
    at = NOON + minutes * MINUTE
    return hygiene.step_asked(house.ana, site=house.site, to_rank=area.hygiene_rank, at=at)


def test_what_was_done_in_the_sick_bay_is_asked_about_in_the_front_room(
    house: House, sick_bay: Vessel
) -> None:
    logged(house, sick_bay, kit(house, "PH"), "7.8", at=NOON + MINUTE)

    step = asked(house, house.area, minutes=2)

    assert step is not None
    assert asked(house, sick_bay.area, minutes=2) is None
    assert hygiene.step_asked(house.mo, site=house.site, to_rank=1, at=NOON + 2 * MINUTE) is None


def test_the_next_day_begins_clean(house: House, sick_bay: Vessel) -> None:
    logged(house, sick_bay, kit(house, "PH"), "7.8", at=NOON + MINUTE)

    assert asked(house, house.area, minutes=24 * 60) is None


def test_desk_work_about_a_dirty_area_is_no_step(house: House, sick_bay: Vessel) -> None:
    """Putting up the tank and describing the kit are not done with the hands in it."""
    kit(house, "PH")

    assert hygiene.step_asked(house.mo, site=house.site, to_rank=1, at=NOON + MINUTE) is None


def test_the_answer_ends_the_question(house: House, sick_bay: Vessel) -> None:
    logged(house, sick_bay, kit(house, "PH"), "7.8", at=NOON + MINUTE)
    at = NOON + 2 * MINUTE
    take_break(break_of(house, at=at), by=house.ana, at=at)

    assert asked(house, house.area, minutes=3) is None
    assert hygiene.breaks_left_out(house.site, since=NOON, until=NOON + 5 * MINUTE) == []


def test_neither_is_an_answer_too_and_the_next_shift_sees_it(house: House) -> None:
    row = take_break(
        break_of(house, kit_changed=False, hands_disinfected=False), by=house.ana, at=NOON
    )

    assert hygiene.breaks_left_out(house.site, since=NOON, until=NOON + MINUTE) == [row]


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"from_rank": 1, "to_rank": 6}, breaks.NotCleaner),
        ({"from_rank": 4, "to_rank": 4}, breaks.NotCleaner),
        ({"from_rank": 10}, breaks.RankOffScale),
        ({"to_rank": 0}, breaks.RankOffScale),
        ({"site_id": uuid4()}, NotFound),
    ],
)
def test_a_break_goes_from_dirty_to_clean(
    house: House, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        take_break(break_of(house, **changes), by=house.ana, at=NOON)


def test_a_stranger_and_an_auditor_take_no_break(house: House) -> None:
    with pytest.raises(NotFound):
        take_break(break_of(house), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        take_break(break_of(house), by=house.hale, at=NOON)


def test_database_keeps_no_break_that_goes_dirtier(house: House) -> None:
    row = take_break(break_of(house), by=house.ana, at=NOON)
    row.pk, row._state.adding, row.to_rank = uuid4(), True, row.from_rank

    with pytest.raises(IntegrityError, match="break_goes_cleaner"), transaction.atomic():
        row.save(force_insert=True)


def test_the_page_asks_once_and_blocks_nothing(
    house: House, sick_bay: Vessel, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    clean = vessel_of(house, code="A-01")
    logged(house, sick_bay, kit(house, "PH"), "7.8", at=NOON + MINUTE)
    monkeypatch.setattr(timezone, "now", lambda: NOON + 5 * MINUTE)
    client.force_login(house.ana)
    url = reverse("tanks:log-readings", args=[clean.pk])

    page = client.get(url)
    answer = client.post(
        reverse("facility:take-break", args=[house.site.pk]) + f"?next={url}",
        {
            "id": str(uuid4()),
            "happened_at": (NOON + 5 * MINUTE).isoformat(),
            "from_rank": "6",
            "to_rank": "1",
            "said": "hands",
        },
    )
    after = client.get(url)

    assert "You come from hygiene rank 6 to 1" in page.content.decode()
    assert 'class="sheet card"' in page.content.decode()
    assert (answer.status_code, answer["Location"]) == (303, url)
    assert "You come from hygiene rank" not in after.content.decode()
    row = HygieneBreak.objects.get()
    assert (row.kit_changed, row.hands_disinfected, row.by) == (False, True, house.ana)


@pytest.mark.parametrize("sheet", ["dose", "water-change", "feeding", "seeding", "incident"])
def test_every_sheet_of_hands_on_work_asks(
    house: House, sick_bay: Vessel, client: Client, monkeypatch: pytest.MonkeyPatch, sheet: str
) -> None:
    logged(house, sick_bay, kit(house, "TAN"), "0.1", at=NOON)
    clean = vessel_of(house, code="A-02")
    monkeypatch.setattr(timezone, "now", lambda: NOON + 5 * MINUTE)
    client.force_login(house.ana)

    page = client.get(f"/tanks/{clean.pk}/{sheet}/").content.decode()

    assert "You come from hygiene rank 6 to 1 (Front room)." in page
