"""Lots opened, split, merged, counted; sold, sent off, missed; and entries put right."""

from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotFound
from facility.sockets.subjects import alike, place_of, subjects_at
from quarantine.commands.books import CountsDoNotClose, NoneCounted
from quarantine.commands.counts import (
    CorrectCount,
    CountAsBooked,
    CountReasonMissing,
    correct_count,
)
from quarantine.commands.lot_labels import LabelLot, LotLabelUnfit, label_lot
from quarantine.commands.lots import UnknownMade, UnknownSex, open_lot
from quarantine.commands.partings import (
    LotEmpty,
    LotOnHold,
    MergeLots,
    NotInOneWater,
    NotOfOneKind,
    OneLotOnly,
    SplitLot,
    merge_lots,
    split_lot,
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
from quarantine.models import CountChange, Hold, HoldLift, Lot, LotLabel
from quarantine.queries.books import book, held_by, lots_at
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.arriving import (
    BARB,
    lot_found,
    lot_in,
    opened_lot,
    sale_of,
    species_of,
)
from tests.tanks.estate import a_label, opened, system_of, vessel_of

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


def test_what_was_here_and_what_was_bred_has_a_book_too(house: House, tank: Vessel) -> None:
    parent = opened_lot(house, lot_found(house, tank, sex="FEMALE"))
    fry = opened_lot(
        house, replace(lot_found(house, tank, count=200, parents=(parent.pk,)), made="BRED")
    )

    assert (parent.code, fry.code, parent.sex) == ("L-0001", "L-0002", "FEMALE")
    assert (book(parent).found, book(fry).bred, book(fry).remaining) == (30, 200, 200)
    assert [one.parent for one in fry.parents.all()] == [parent]
    assert first_breach(house.site) is None


def test_a_lot_that_cannot_be_is_refused(house: House, tank: Vessel) -> None:
    good = lot_found(house, tank)
    for command, refusal in (
        (replace(good, made="BOUGHT"), UnknownMade),
        (replace(good, sex="LARGE"), UnknownSex),
        (replace(good, count=0), NoneCounted),
        (replace(good, species_id=uuid4()), NotFound),
        (replace(good, supplier_id=uuid4()), NotFound),
        (replace(good, parents=(uuid4(),)), NotFound),
        (replace(good, vessel_id=uuid4()), NotFound),
        (replace(good, happened_at=NOON + HOUR), InTheFuture),
    ):
        with pytest.raises(refusal):
            open_lot(command, by=house.ana, at=NOON)
    first = open_lot(good, by=house.ana, at=NOON)
    assert open_lot(good, by=house.ana, at=NOON) == first
    with pytest.raises(IdTaken):
        open_lot(replace(good, note="Other"), by=house.ana, at=NOON)


def split_of(lot: Lot, vessel: Vessel, *, count: int = 10) -> SplitLot:
    return SplitLot(id=uuid4(), lot_id=lot.pk, vessel_id=vessel.pk, count=count, happened_at=NOON)


def test_a_split_keeps_where_it_is_from_and_both_books_close(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    command = split_of(lot, tank)
    part = split_lot(command, by=house.ana, at=NOON)

    assert (part.species, part.supplier, part.consignment) == (
        lot.species,
        lot.supplier,
        lot.consignment,
    )
    assert (part.acquired_at, part.made) == (lot.acquired_at, "SPLIT")
    assert [one.parent for one in part.parents.all()] == [lot]
    assert (book(lot).remaining, book(part).remaining) == (38, 10)
    assert book(lot).closes
    assert book(part).closes
    assert split_lot(command, by=house.ana, at=NOON) == part
    sell_animals(sale_of(part, tank, count=10), by=house.ana, at=NOON)
    assert (book(part).sold, book(part).remaining) == (10, 0)
    with pytest.raises(CountsDoNotClose):
        split_lot(split_of(lot, tank, count=39), by=house.ana, at=NOON)
    assert Lot.objects.count() == 2


def merger_of(*lots: Lot) -> MergeLots:
    return MergeLots(id=uuid4(), lot_ids=tuple(lot.pk for lot in lots), happened_at=NOON)


def test_a_merged_lot_lists_its_parents_and_holds_all_of_them(house: House, tank: Vessel) -> None:
    first, second = lot_in(house, tank), lot_in(house, tank, count=20)
    command = merger_of(first, second)
    lot = merge_lots(command, by=house.ana, at=NOON)

    assert {one.parent for one in lot.parents.all()} == {first, second}
    assert (book(first).remaining, book(second).remaining, book(lot).remaining) == (0, 0, 68)
    assert (lot.supplier, lot.consignment) == (first.supplier, None)
    assert merge_lots(command, by=house.ana, at=NOON) == lot
    assert first_breach(house.site) is None


def test_only_what_is_alike_free_and_together_is_merged(house: House, tank: Vessel) -> None:
    lot, away = lot_in(house, tank), lot_in(house, vessel_of(house, code="A-02"))
    barbs = opened_lot(
        house, replace(lot_found(house, tank), species_id=species_of(house, BARB).pk)
    )
    gone = opened_lot(house, lot_found(house, tank))
    sell_animals(sale_of(gone, tank, count=30), by=house.ana, at=NOON)
    held = lot_in(house, tank)
    hold = held_back(house, lot=held)
    for command, refusal in (
        (merger_of(lot), OneLotOnly),
        (merger_of(lot, lot), OneLotOnly),
        (merger_of(lot, barbs), NotOfOneKind),
        (merger_of(lot, away), NotInOneWater),
        (merger_of(lot, gone), LotEmpty),
        (merger_of(lot, held), LotOnHold),
    ):
        with pytest.raises(refusal):
            merge_lots(command, by=house.ana, at=NOON)
    lifted(house, hold)
    assert book(merge_lots(merger_of(lot, held), by=house.ana, at=NOON)).remaining == 96


def test_tanks_of_one_system_are_one_water(house: House, tank: Vessel) -> None:
    other, system = vessel_of(house, code="A-02"), system_of(house)
    for vessel in (tank, other):
        opened(house, vessel, system)
    lots = lot_in(house, tank), lot_in(house, other, count=5)

    merged = merge_lots(merger_of(*lots), by=house.ana, at=NOON)

    assert held_by(merged, at=NOON) == {tank.pk: 48, other.pk: 5}


def correction_of(lot: Lot, vessel: Vessel, *, counted: int) -> CorrectCount:
    return CorrectCount(
        id=uuid4(),
        lot_id=lot.pk,
        vessel_id=vessel.pk,
        counted=counted,
        reason="Counted at the move",
        happened_at=NOON,
    )


@pytest.mark.parametrize("counted", [0, 45, 51])
def test_a_count_is_corrected_up_and_down_with_its_reason(
    house: House, tank: Vessel, counted: int
) -> None:
    lot = lot_in(house, tank)
    change = correct_count(correction_of(lot, tank, counted=counted), by=house.ana, at=NOON)

    assert change.note == "Counted at the move"
    told = book(lot)
    assert (told.corrected, told.remaining, told.closes) == (counted - 48, counted, True)


def test_a_correction_says_why_and_changes_something(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    with pytest.raises(CountReasonMissing):
        correct_count(
            replace(correction_of(lot, tank, counted=3), reason=" "), by=house.ana, at=NOON
        )
    with pytest.raises(CountAsBooked):
        correct_count(correction_of(lot, tank, counted=48), by=house.ana, at=NOON)


def test_inventory_of_a_past_day_as_known_then_and_as_known_now(house: House, tank: Vessel) -> None:
    """Nine were sold at noon and it was written down three hours later."""
    lot = lot_in(house, tank)
    sell_animals(sale_of(lot, tank, count=9), by=house.ana, at=NOON + 3 * HOUR)

    now = lots_at(house.site, at=NOON + HOUR)
    then = lots_at(house.site, at=NOON + HOUR, as_recorded_at=NOON + 2 * HOUR)

    assert [one.count for one in now] == [39]
    assert [one.count for one in then] == [48]


def test_sold_animals_leave_the_book_and_no_more_than_there_are(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    command = sale_of(lot, tank)
    change = sell_animals(command, by=house.ana, at=NOON)

    assert sell_animals(command, by=house.ana, at=NOON) == change
    assert (book(lot).sold, book(lot).remaining) == (3, 45)
    with pytest.raises(CountsDoNotClose, match="held 48 of L-0001 .* so 49 cannot"):
        sell_animals(sale_of(lot, tank, count=46), by=house.ana, at=NOON)
    with pytest.raises(NoneCounted):
        sell_animals(sale_of(lot, tank, count=0), by=house.ana, at=NOON)
    with pytest.raises(IdTaken):
        sell_animals(replace(command, count=4), by=house.ana, at=NOON)


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


def test_a_lot_has_one_label_and_it_is_nobody_elses(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    code = a_label()
    label = label_lot(LabelLot(lot_id=lot.pk, code=code), by=house.ana, at=NOON)

    assert label_lot(LabelLot(lot_id=lot.pk, code=a_label()), by=house.ana, at=NOON) == label
    other = lot_in(house, tank)
    for taken in (code, tank.labels.get().code, "ABCDEFG"):
        with pytest.raises(LotLabelUnfit):
            label_lot(LabelLot(lot_id=other.pk, code=taken), by=house.ana, at=NOON)
    assert LotLabel.objects.count() == 1
    assert Entry.objects.filter(kind="quarantine.label-lot").count() == 1


def test_work_may_hang_on_a_lot_where_most_of_it_is(house: House, tank: Vessel) -> None:
    lot = lot_in(house, tank)
    about = f"quarantine.lot:{lot.pk}"
    place = place_of(about)

    assert place is not None
    assert (place.name, place.area_id) == (f"{lot.code} {lot.species} in A-01", tank.area_id)
    assert alike(about, NOON) == {about}
    assert (about, f"{lot.code} {lot.species}") in subjects_at(house.site.pk, NOON)
