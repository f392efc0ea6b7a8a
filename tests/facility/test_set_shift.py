from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from facility.commands.shifts import (
    CancelShift,
    OnAlready,
    ShiftAskew,
    ShiftOver,
    TooManyWeeks,
    UnknownKeeper,
    cancel_shift,
    set_shift,
)
from facility.models import Entry, Shift
from facility.queries.shifts import hands_on, shifts_on
from tests.cast import NOON, House
from tests.facility.rounds import on_shift, shift_of

pytestmark = pytest.mark.django_db

LISBON = ZoneInfo("Europe/Lisbon")


def test_whoever_is_on_is_on_that_day(house: House) -> None:
    shift = on_shift(house, house.ana)

    assert hands_on(house.site, NOON.date()) == [shift]
    assert hands_on(house.site, NOON.date() + timedelta(days=1)) == []


def test_who_is_on_call_gets_no_round(house: House) -> None:
    shift = on_shift(house, house.ana, is_on_call=True)

    assert shifts_on(house.site, NOON.date()) == [shift]
    assert hands_on(house.site, NOON.date()) == []


def test_it_comes_each_week_at_the_same_time_on_the_wall(house: House) -> None:
    """Clocks in Lisbon go forward on 29 March 2026 (Directive 2000/84/EC)."""
    begins = datetime(2026, 3, 27, 8, tzinfo=LISBON)

    rows = set_shift(
        shift_of(house, house.ana, begins_at=begins, ends_at=begins + timedelta(hours=8), weeks=3),
        by=house.mo,
        at=begins,
    )

    starts = [row.period.lower.astimezone(LISBON) for row in Shift.objects.order_by("period")]
    assert [start.isoformat() for start in starts] == [
        "2026-03-27T08:00:00+00:00",
        "2026-04-03T08:00:00+01:00",
        "2026-04-10T08:00:00+01:00",
    ]
    assert len(rows) == 3
    assert Entry.objects.filter(kind="facility.set-shift").count() == 1


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        ({"ends_at": NOON - timedelta(hours=5)}, ShiftAskew),
        ({"ends_at": NOON + timedelta(hours=21)}, ShiftAskew),
        ({"weeks": 0}, TooManyWeeks),
        ({"weeks": 13}, TooManyWeeks),
    ],
)
def test_what_is_no_shift_is_refused(
    house: House, changes: dict[str, Any], refusal: type[Exception]
) -> None:
    with pytest.raises(refusal):
        set_shift(shift_of(house, house.ana, **changes), by=house.mo, at=NOON)


def test_nobody_is_on_twice(house: House) -> None:
    on_shift(house, house.ana)

    with pytest.raises(OnAlready, match="Ana Quill is on already from Sun 29 Mar 2026, 09:00"):
        on_shift(house, house.ana, begins_at=NOON)


def test_the_database_lets_nobody_be_on_twice(house: House) -> None:
    shift = on_shift(house, house.ana)

    with pytest.raises(IntegrityError, match="one_at_a_time"), transaction.atomic():
        Shift.objects.create(site=house.site, person=house.ana, period=shift.period)


def test_an_auditor_is_put_on_no_shift(house: House) -> None:
    with pytest.raises(UnknownKeeper):
        on_shift(house, house.hale)


def test_cancelled_it_is_no_shift_and_its_time_is_free(house: House) -> None:
    shift = on_shift(house, house.ana)

    cancel_shift(CancelShift(shift_id=shift.pk), by=house.mo, at=NOON)

    assert hands_on(house.site, NOON.date()) == []
    assert on_shift(house, house.ana).pk != shift.pk


def test_one_that_is_over_stays(house: House) -> None:
    shift = on_shift(house, house.ana)

    with pytest.raises(ShiftOver):
        cancel_shift(CancelShift(shift_id=shift.pk), by=house.mo, at=NOON + timedelta(hours=4))


def test_on_the_page_a_shift_that_ends_too_early_keeps_what_was_typed(
    house: House, client: Client
) -> None:
    client.force_login(house.mo)
    command = shift_of(house, house.ana)
    sheet = {
        "id": str(command.id),
        "person": str(house.ana.pk),
        "begins_at": "2026-03-30T08:00",
        "ends_at": "2026-03-30T07:00",
        "weeks": "2",
    }
    address = f"/sites/{house.site.pk}/shifts/new/"

    wrong = client.post(address, sheet)
    right = client.post(address, sheet | {"ends_at": "2026-03-30T16:00"})

    assert wrong.status_code == 422
    assert "Let it end after it begins." in wrong.content.decode()
    assert 'value="2026-03-30T07:00"' in wrong.content.decode()
    assert (right.status_code, right["Location"]) == (303, "/shifts/")
    assert Shift.objects.count() == 2
