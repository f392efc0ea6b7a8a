"""Everything a trace reached is held in one act, with one line in the ledger."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.models import Entry
from facility.refusals import NotAllowed, NotFound
from quarantine.commands.holds import LiftHold, lift_hold
from quarantine.commands.tracing import (
    HoldTraced,
    NothingToHold,
    SinceTooLate,
    TraceWhyMissing,
    UnknownContact,
    UnknownDirection,
    hold_traced,
)
from quarantine.models import Hold
from quarantine.queries.holds import holds_on
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.equipment import lot_in, moved
from tests.tanks.estate import opened, system_of, vessel_of

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)


def hold_of(house: House, vessel: Vessel, **changes: Any) -> HoldTraced:
    told: dict[str, Any] = {
        "id": uuid4(),
        "site_id": house.site.pk,
        "about": f"tanks.vessel:{vessel.pk}",
        "direction": "both",
        "since": NOON,
        "why": "White spots in A",
        "happened_at": NOON + 10 * DAY,
    }
    return HoldTraced(**(told | changes))


def an_outbreak(house: House) -> tuple[Vessel, Vessel, Vessel]:
    """A lot went from A to B on day 2; C has met neither. Tanks opened by another's hands."""
    a, b, c = (vessel_of(house, code=code, at=NOON - 9 * DAY) for code in "ABC")
    lot = lot_in(house, a)
    moved(house, lot, a, b, count=4, at=NOON + 2 * DAY)
    lot_in(house, c, species="Corydoras panda")
    return a, b, c


def held(house: House, command: HoldTraced) -> list[Hold]:
    return hold_traced(command, by=house.vera, at=command.happened_at)


def test_the_tanks_reached_and_the_lots_there_are_held(house: House) -> None:
    a, b, _ = an_outbreak(house)
    before = Entry.objects.count()

    holds = held(house, hold_of(house, a))

    assert {hold.vessel for hold in holds if hold.vessel} == {a, b}
    assert [hold.lot.code for hold in holds if hold.lot] == ["L-0001"]
    assert {hold.kind for hold in holds} == {"TRACE"}
    assert Entry.objects.count() == before + 1
    assert len(Entry.objects.latest("pk").facts["rows"]) == len(holds)


def test_what_is_left_out_of_the_trace_is_not_held(house: House) -> None:
    a, _, _ = an_outbreak(house)

    holds = held(house, hold_of(house, a, without=("animals",)))

    assert {hold.vessel for hold in holds if hold.vessel} == {a}


def test_delivered_twice_it_is_held_once(house: House) -> None:
    a, _, _ = an_outbreak(house)
    command = hold_of(house, a)

    first, again = held(house, command), held(house, command)

    assert {hold.pk for hold in first} == {hold.pk for hold in again}
    assert Hold.objects.count() == len(first)


def test_one_water_is_held_once_however_many_of_its_tanks_were_reached(house: House) -> None:
    a, b, _ = an_outbreak(house)
    system = system_of(house)
    for tank in (a, b):
        opened(house, tank, system, at=NOON + 3 * DAY)

    holds = held(house, hold_of(house, a))

    assert [hold.vessel for hold in holds if hold.vessel] == [a]


def test_what_a_trace_holds_already_is_not_held_again(house: House) -> None:
    a, _, _ = an_outbreak(house)
    first = held(house, hold_of(house, a))

    with pytest.raises(NothingToHold):
        held(house, hold_of(house, a))

    lift = LiftHold(
        id=uuid4(), hold_id=first[0].pk, why="Skin scrape clear", happened_at=NOON + 11 * DAY
    )
    lift_hold(lift, by=house.vera, at=NOON + 11 * DAY)
    again = held(house, hold_of(house, a, happened_at=NOON + 12 * DAY))
    assert [hold.vessel for hold in again] == [first[0].vessel]


def test_a_held_tank_is_seen_as_held(house: House) -> None:
    a, b, c = an_outbreak(house)
    held(house, hold_of(house, a))

    assert len(holds_on(vessel_ids=[b.pk], at=NOON + 11 * DAY)) == 1
    assert holds_on(vessel_ids=[c.pk], at=NOON + 11 * DAY) == []


def test_what_is_missing_is_named(house: House) -> None:
    a, _, _ = an_outbreak(house)
    for refusal, changes in (
        (UnknownDirection, {"direction": "sideways"}),
        (UnknownContact, {"without": ("sound",)}),
        (SinceTooLate, {"since": NOON + 20 * DAY}),
        (TraceWhyMissing, {"why": "  "}),
        (NotFound, {"about": f"tanks.vessel:{uuid4()}"}),
    ):
        with pytest.raises(refusal):
            held(house, hold_of(house, a, **changes))


@pytest.mark.parametrize("junk", ["", "tanks.vessel", "tanks.vessel:x", "auth.user:1", "a:b:c"])
def test_what_is_no_subject_is_not_found(house: House, junk: str) -> None:
    with pytest.raises(NotFound):
        held(house, hold_of(house, vessel_of(house), about=junk))


def test_keepers_trace_and_do_not_hold(house: House) -> None:
    a, _, _ = an_outbreak(house)

    with pytest.raises(NotAllowed):
        hold_traced(hold_of(house, a), by=house.ana, at=NOON + 10 * DAY)
