"""Animals sold, sent off, missed; what holds them; and entries put right."""

from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotFound
from quarantine.commands.books import CountsDoNotClose, NoneCounted
from quarantine.commands.counts import (
    CorrectCount,
    correct_count,
)
from quarantine.commands.sales import (
    AmendChange,
    AmendReasonMissing,
    DestinationMissing,
    MissingUntold,
    NotAmendable,
    ReportMissing,
    SaleHeld,
    SendOff,
    amend_change,
    report_missing,
    sell_animals,
    send_off,
)
from quarantine.models import CountChange, Hold, HoldLift, Lot
from quarantine.queries.books import book
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.arriving import (
    lot_in,
    sale_of,
)
from tests.tanks.estate import opened, system_of, vessel_of

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def correction_of(lot: Lot, vessel: Vessel, *, counted: int) -> CorrectCount:
    return CorrectCount(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=vessel.pk,
        counted=counted,
        reason="Counted at the move",
        happened_at=NOON,
    )


def held_back(house: House, **about: Lot | Vessel) -> Hold:
    return Hold.objects.create(
        kind="DISEASE",
        why="White spots seen.",
        happened_at=NOON,
        recorded_at=NOON,
        by=house.mo,
        **about,
    )


def lifted(house: House, hold: Hold) -> HoldLift:
    return HoldLift.objects.create(
        hold=hold, why="Looked at.", happened_at=NOON, recorded_at=NOON, by=house.mo
    )


def test_sold_animals_leave_the_book_and_no_more_than_there_are(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    command = sale_of(lot, tank)
    change = sell_animals(command, by=house.ana, at=NOON)

    assert sell_animals(command, by=house.ana, at=NOON) == change
    assert (book(lot).sold, book(lot).remaining) == (3, 45)
    with pytest.raises(CountsDoNotClose, match=r"held 48 of L-0001 .* so 49 cannot"):
        sell_animals(sale_of(lot, tank, count=46), by=house.ana, at=NOON)
    with pytest.raises(NoneCounted):
        sell_animals(sale_of(lot, tank, count=0), by=house.ana, at=NOON)
    with pytest.raises(IdTaken):
        sell_animals(replace(command, count=4), by=house.ana, at=NOON)


def test_nothing_on_hold_is_sold_or_sent_off(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    away = SendOff(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=tank.pk,
        count=1,
        destination="Quillhaven",
        happened_at=NOON,
    )
    hold = held_back(house, lot=lot)

    with pytest.raises(SaleHeld, match="White spots seen") as refused:
        sell_animals(sale_of(lot, tank), by=house.ana, at=NOON)
    assert len(refused.value.hindrances) == 1
    with pytest.raises(SaleHeld):
        send_off(away, by=house.ana, at=NOON)
    lifted(house, hold)
    send_off(away, by=house.ana, at=NOON)
    assert book(lot).left == 1


def test_a_hold_on_a_tank_holds_all_that_share_its_water(house: House, tank: Vessel) -> None:
    other, system = vessel_of(house, code="A-02"), system_of(house)
    for vessel in (tank, other):
        opened(house, vessel, system)
    lot = lot_in(house, tank)
    held_back(house, vessel=other)

    with pytest.raises(SaleHeld, match="The water of A-02 is on hold"):
        sell_animals(sale_of(lot, tank), by=house.ana, at=NOON)


def test_what_leaves_says_where_to_and_what_is_missing_how_it_was_looked(
    house: House, tank: Vessel
) -> None:
    lot = lot_in(house, tank)
    where: dict[str, Any] = {
        "id": uuid4(),
        "lot_id": lot.pk,
        "vessel_id": tank.pk,
        "happened_at": NOON,
    }

    with pytest.raises(DestinationMissing):
        send_off(SendOff(**where, count=1, destination=" "), by=house.ana, at=NOON)
    with pytest.raises(MissingUntold):
        report_missing(ReportMissing(**where, count=1, note=""), by=house.ana, at=NOON)
    held_back(house, lot=lot)
    report_missing(ReportMissing(**where, count=2, note="Floor searched"), by=house.ana, at=NOON)
    assert (book(lot).missing, book(lot).remaining) == (2, 46)


def test_a_sale_typed_wrong_is_put_right_or_taken_back(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    sale = sell_animals(sale_of(lot, tank), by=house.ana, at=NOON)
    amend = AmendChange(id=uuid4(), change_id=sale.pk, count=5, reason="Five, not three")
    second = amend_change(amend, by=house.ana, at=NOON)
    assert amend_change(amend, by=house.ana, at=NOON) == second
    assert book(lot).sold == 5
    with pytest.raises(NotAmendable):
        amend_change(replace(amend, id=uuid4()), by=house.ana, at=NOON)

    back = replace(amend, id=uuid4(), change_id=second.pk, count=0)
    amend_change(back, by=house.ana, at=NOON)

    assert (book(lot).sold, book(lot).remaining) == (0, 48)
    assert CountChange.objects.filter(kind="SOLD").count() == 3
    assert first_breach(house.site) is None


def test_only_such_entries_are_put_right_and_with_a_reason(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    sale = sell_animals(sale_of(lot, tank), by=house.ana, at=NOON)
    amend = AmendChange(id=uuid4(), change_id=sale.pk, count=5, reason=" ")
    with pytest.raises(AmendReasonMissing):
        amend_change(amend, by=house.ana, at=NOON)
    counted = correct_count(correction_of(lot, tank, counted=40), by=house.ana, at=NOON)
    with pytest.raises(NotAmendable):
        amend_change(replace(amend, change_id=counted.pk, reason="Why"), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        amend_change(replace(amend, change_id=uuid4()), by=house.ana, at=NOON)
