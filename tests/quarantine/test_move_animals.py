"""Moves: the book follows, quarantine is kept apart, and follow-up looks are raised."""

from dataclasses import replace
from decimal import Decimal
from uuid import uuid4

import pytest

from facility.commands.follow_ups import RaiseFollowUps, raise_follow_ups
from facility.models import Entry, Task
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands.books import CountsDoNotClose
from quarantine.commands.lots import OpenLot, open_lot
from quarantine.commands.moves import (
    CarriedNegative,
    MethodUnknown,
    MoveHeld,
    ReleaseMissing,
    SameVessel,
    move_animals,
)
from quarantine.models import CountChange, Lot, Move
from quarantine.queries.books import book, held_by
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived
from tests.quarantine.staying import DAY, HOUR, held, move_of, moved, tank_behind
from tests.tanks.estate import vessel_of


def test_the_book_follows_and_closes(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    lot = arrived(house, source, count=20)

    move = moved(house, lot, source, target, at=NOON + HOUR, count=5, water_litres=Decimal("0.5"))

    assert held_by(lot, at=NOON + 2 * HOUR) == {source.pk: 15, target.pk: 5}
    assert book(lot).closes
    assert (move.change.kind, move.change.count, move.method) == ("MOVED", 5, "NET")
    entry = Entry.objects.get(kind="quarantine.move-animals")
    assert entry.about == f"tanks.vessel:{target.pk}"
    assert first_breach(house.site) is None


def test_delivered_twice_it_is_moved_once(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    lot = arrived(house, source, count=20)
    command = move_of(lot, source, target, at=NOON + HOUR)

    first, again = (move_animals(command, by=house.ana, at=NOON + HOUR) for _ in range(2))

    assert first == again
    assert (Move.objects.count(), CountChange.objects.filter(kind="MOVED").count()) == (1, 1)
    for other in (replace(command, count=6), replace(command, method="WATER")):
        with pytest.raises(IdTaken):
            move_animals(other, by=house.ana, at=NOON + HOUR)


def test_each_refusal_says_what_is_wrong(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    command = move_of(arrived(house, source, count=20), source, target, at=NOON + HOUR)

    for wrong, refusal in (
        (replace(command, to_vessel_id=source.pk), SameVessel),
        (replace(command, method="HAND"), MethodUnknown),
        (replace(command, water_litres=Decimal(-1)), CarriedNegative),
        (replace(command, count=21), CountsDoNotClose),
    ):
        with pytest.raises(refusal):
            move_animals(wrong, by=house.ana, at=NOON + HOUR)
    for person, refused in ((house.hale, NotAllowed), (house.bo, NotFound)):
        with pytest.raises(refused):
            move_animals(command, by=person, at=NOON + HOUR)
    assert not Move.objects.exists()


def test_who_still_waits_goes_into_a_cleaner_area_by_release_only(house: House) -> None:
    source, front = tank_behind(house, "Q-1"), vessel_of(house, code="A-01")
    lot = arrived(house, source, count=20)

    with pytest.raises(ReleaseMissing, match="signed release only"):
        moved(house, lot, source, front, at=NOON + HOUR)


def test_who_still_waits_does_not_meet_who_waits_no_more(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    lot = arrived(house, source, count=20)
    arrived(house, target, count=3)
    moved(house, lot, source, target, at=NOON + HOUR)
    settled = tank_behind(house, "Q-3")
    _found_in(house, settled, lot)

    with pytest.raises(ReleaseMissing):
        moved(house, lot, source, settled, at=NOON + 2 * HOUR)


def test_what_is_held_stays_but_may_be_isolated(house: House) -> None:
    front, second, back = vessel_of(house), vessel_of(house, code="A-02"), tank_behind(house, "Q-1")
    lot = arrived(house, front, count=20)
    held(house, lot=lot, at=NOON + HOUR)

    with pytest.raises(MoveHeld, match="White spots"):
        moved(house, lot, front, second, at=NOON + 2 * HOUR)
    moved(house, lot, front, back, at=NOON + 2 * HOUR)

    assert held_by(lot, at=NOON + DAY)[back.pk] == 5


def test_nothing_is_joined_to_a_held_water(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    lot = arrived(house, source, count=20)
    held(house, vessel=target, at=NOON + HOUR)

    with pytest.raises(MoveHeld):
        moved(house, lot, source, target, at=NOON + 2 * HOUR)


def test_looks_follow_at_two_hours_and_1_3_7_and_14_days(house: House) -> None:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    lot = arrived(house, source, count=20)
    at = NOON + HOUR

    moved(house, lot, source, target, at=at)
    line = Entry.objects.get(kind="quarantine.move-animals")
    raise_follow_ups(RaiseFollowUps(entry_id=line.pk), by=None, at=at)

    looks = Task.objects.filter(kind="FOLLOW_UP").order_by("due_at")
    after = [task.due_at - at for task in looks]
    assert after == [2 * HOUR, DAY, 3 * DAY, 7 * DAY, 14 * DAY]
    assert all("Q-2" in task.title for task in looks)
    assert Task.objects.filter(kind="TEST").count() == 4


def _found_in(house: House, vessel: Vessel, like: Lot) -> None:
    """Animals that were here before the book was opened."""
    command = OpenLot(
        id=uuid4(),
        site_id=house.site.pk,
        species_id=like.species_id,
        vessel_id=vessel.pk,
        count=3,
        made="FOUND",
        happened_at=NOON,
    )
    open_lot(command, by=house.mo, at=NOON)
