"""Lots opened, split, merged, counted and labelled."""

from dataclasses import replace
from datetime import timedelta
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
    sell_animals,
)
from quarantine.models import Hold, HoldLift, Lot, LotLabel
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


def split_of(lot: Lot, vessel: Vessel, *, count: int = 10) -> SplitLot:
    return SplitLot(id=uuid4(), lot_id=lot.pk, vessel_id=vessel.pk, count=count, happened_at=NOON)


def merger_of(*lots: Lot) -> MergeLots:
    return MergeLots(id=uuid4(), lot_ids=tuple(lot.pk for lot in lots), happened_at=NOON)


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
