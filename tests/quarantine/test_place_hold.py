"""A hold keeps a lot or a water where it is, is seen where people work, and is lifted by some."""

from dataclasses import replace
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from facility.sockets.stop_list import stops_at
from quarantine.commands.holds import (
    HoldKindUnknown,
    HoldLifted,
    HoldOfNothing,
    HoldWhyMissing,
    LiftedBeforeHeld,
    lift_hold,
    place_hold,
)
from quarantine.models import Hold, HoldLift
from quarantine.queries.holds import holds_in, holds_on
from quarantine.queries.selling import hindrances_to_sale
from tests.cast import NOON, House
from tests.quarantine.dying import arrived
from tests.quarantine.staying import DAY, HOUR, held, hold_of, lift_of, lifted, tank_behind
from tests.tanks.estate import opened


def test_a_held_lot_is_seen_in_its_tank_and_on_the_stop_list(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)

    hold = held(house, lot=lot, at=NOON + HOUR)

    assert holds_on(lot=lot, at=NOON + 2 * HOUR) == [hold]
    assert holds_in([tank.pk], at=NOON + 2 * HOUR) == [hold]
    assert holds_on(lot=lot, at=NOON) == []
    line = next(one for one in stops_at(house.site.pk, NOON + 2 * HOUR) if lot.code in one.leave)
    assert (line.place, line.ask) == ("Q-1", "Ana Quill")
    assert any("on hold" in told for told in hindrances_to_sale(lot, tank, at=NOON + DAY))


def test_a_held_water_is_all_that_mixes_with_the_tank(house: House) -> None:
    tank, system = tank_behind(house, "Q-1"), tank_behind(house, "QS", kind="SYSTEM")
    opened(house, tank, system, at=NOON)
    lot = arrived(house, system, at=NOON)
    held(house, vessel=tank, at=NOON + HOUR)

    assert any("Q-1" in told for told in hindrances_to_sale(lot, system, at=NOON + DAY))


def test_a_hold_and_its_lift_each_write_one_line(house: House) -> None:
    hold = held(house, lot=arrived(house, tank_behind(house, "Q-1")))
    lift = lifted(house, hold, at=NOON + DAY)

    kinds = Entry.objects.filter(kind__contains="hold").order_by("number").values_list("kind", "by")
    assert list(kinds) == [
        ("quarantine.place-hold", house.ana.pk),
        ("quarantine.lift-hold", house.vera.pk),
    ]
    assert lift.why
    assert first_breach(house.site) is None
    assert holds_on(lot=hold.lot, at=NOON + 2 * DAY) == []
    assert holds_on(lot=hold.lot, at=NOON + HOUR) == [hold]


def test_delivered_twice_it_is_held_and_lifted_once(house: House) -> None:
    command = hold_of(lot=arrived(house, tank_behind(house, "Q-1")))
    first, again = (place_hold(command, by=house.ana, at=NOON) for _ in range(2))
    lift = lift_of(first, at=NOON + HOUR)
    lifts = [lift_hold(lift, by=house.mo, at=NOON + HOUR) for _ in range(2)]

    assert (first, lifts[0]) == (again, lifts[1])
    assert (Hold.objects.count(), HoldLift.objects.count()) == (1, 1)
    with pytest.raises(IdTaken):
        place_hold(replace(command, why="Something else"), by=house.ana, at=NOON)


def test_keepers_hold_and_only_a_manager_or_veterinarian_lifts(house: House) -> None:
    hold = held(house, lot=arrived(house, tank_behind(house, "Q-1")))

    for person, refusal in (
        (house.ana, NotAllowed),
        (house.hale, NotAllowed),
        (house.bo, NotFound),
    ):
        with pytest.raises(refusal):
            lift_hold(lift_of(hold, at=NOON + HOUR), by=person, at=NOON + HOUR)
    with pytest.raises(NotAllowed):
        place_hold(hold_of(lot=hold.lot), by=house.hale, at=NOON)


def test_each_refusal_says_what_is_wrong(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank)
    for wrong, refusal in (
        (hold_of(), HoldOfNothing),
        (hold_of(lot=lot, vessel=tank), HoldOfNothing),
        (hold_of(lot=lot, kind="WHIM"), HoldKindUnknown),
        (hold_of(lot=lot, why="  "), HoldWhyMissing),
    ):
        with pytest.raises(refusal):
            place_hold(wrong, by=house.ana, at=NOON)
    hold = held(house, lot=lot, at=NOON)
    with pytest.raises(LiftedBeforeHeld):
        lift_hold(lift_of(hold, at=NOON - HOUR), by=house.mo, at=NOON)
    lifted(house, hold, at=NOON + HOUR)
    with pytest.raises(HoldLifted):
        lift_hold(lift_of(hold, at=NOON + 2 * HOUR), by=house.mo, at=NOON + 2 * HOUR)


def test_the_database_knows_one_subject_and_a_reason(house: House) -> None:
    lot = arrived(house, tank_behind(house, "Q-1"))
    told = {"happened_at": NOON, "recorded_at": NOON, "by": house.ana, "kind": "DISEASE"}
    for wrong in ({"why": "spots"}, {"lot": lot, "why": ""}):
        with pytest.raises(IntegrityError), transaction.atomic():
            Hold.objects.create(id=uuid4(), **told, **wrong)


def test_the_pages_show_it_and_let_those_lift_it_who_may(house: House, client: Client) -> None:
    tank = tank_behind(house, "Q-1")
    hold = held(house, lot=arrived(house, tank))
    for person, is_able in ((house.ana, False), (house.vera, True)):
        client.force_login(person)
        page = client.get(f"/holds/{hold.pk}/").content.decode()
        assert ("Lift the hold" in page) is is_able
        for address in (f"/tanks/{tank.pk}/", f"/waters/{tank.pk}/", "/today/", "/holds/"):
            assert hold.why in client.get(address).content.decode(), address

    client.post(
        f"/holds/{hold.pk}/", {"id": uuid4(), "why": "Scrapes show nothing", "happened_at": ""}
    )
    assert not HoldLift.objects.exists()
    told = {"id": str(uuid4()), "why": "Scrapes show nothing", "happened_at": "2026-11-20T10:00"}
    assert client.post(f"/holds/{hold.pk}/lift/", told).status_code == 303
    assert HoldLift.objects.get().hold == hold
