"""The book of animals closes, at every moment, whatever is written in it."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from hypothesis import given
from hypothesis import strategies as st

from facility.refusals import NotFound
from quarantine.commands.books import (
    Change,
    CountsDoNotClose,
    NoneCounted,
    enter,
    lot_for,
    next_code,
)
from quarantine.models import CountChange, Lot, Species
from quarantine.queries import books
from quarantine.rules.books import Account, Posting, held, shortfall, totals
from tanks.models import Vessel
from tests.cast import NOON, House

HOUR = timedelta(hours=1)
LOT = uuid4()
A, B = Account(LOT, uuid4()), Account(LOT, uuid4())


def arrived(count: int = 10, *, hours: int = 0) -> Posting:
    return Posting(at=NOON + hours * HOUR, kind="ARRIVED", count=count, target=A)


def died(count: int, *, hours: int) -> Posting:
    return Posting(at=NOON + hours * HOUR, kind="DIED", count=count, source=A)


def moved(count: int, *, hours: int) -> Posting:
    return Posting(at=NOON + hours * HOUR, kind="MOVED", count=count, source=A, target=B)


def test_what_came_less_what_went_is_what_is_held() -> None:
    told = [arrived(10), died(2, hours=1), moved(3, hours=2)]

    assert held(told) == {A: 5, B: 3}
    assert held(told, at=NOON + HOUR) == {A: 8}
    assert totals(told, LOT) == {"ARRIVED": 10, "DIED_OUT": 2}


def test_more_cannot_leave_than_were_there_at_that_moment() -> None:
    short = shortfall([arrived(10, hours=5), died(1, hours=4)])

    assert short is not None
    assert (short.held, short.wanted, short.at) == (0, 1, NOON + 4 * HOUR)


def test_a_death_written_late_is_held_against_what_left_since() -> None:
    sold = Posting(at=NOON + 3 * HOUR, kind="SOLD", count=9, source=A)

    assert shortfall([arrived(10), sold]) is None
    assert shortfall([arrived(10), sold, died(2, hours=1)]) is not None


def test_what_came_at_a_moment_can_leave_at_it() -> None:
    assert shortfall([died(10, hours=0), arrived(10)]) is None


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["ARRIVED", "DIED", "MOVED"]), st.integers(1, 9), st.integers(0, 50)
        ),
        max_size=30,
    )
)
def test_counts_close_under_any_sequence_of_what_is_let_in(
    acts: list[tuple[str, int, int]],
) -> None:
    make = {"ARRIVED": arrived, "DIED": died, "MOVED": moved}
    told: list[Posting] = []
    for kind, count, hours in acts:
        wanted = [*told, make[kind](count, hours=hours)]
        told = wanted if shortfall(wanted) is None else told

    found = totals(told, LOT)
    assert sum(held(told).values()) == found.get("ARRIVED", 0) - found.get("DIED_OUT", 0)
    assert all(
        count > 0 for hour in range(51) for count in held(told, at=NOON + hour * HOUR).values()
    )


@pytest.fixture
def tank(house: House) -> Vessel:
    return Vessel.objects.create(
        site=house.site, area=house.area, kind="TANK", code="Q1", opened_at=NOON
    )


@pytest.fixture
def lot(house: House) -> Lot:
    species = Species.objects.create(
        site=house.site, scientific_name="Danio rerio", group="FISH", water_kind="FRESH"
    )
    return Lot.objects.create(
        site=house.site, code="L-0009", species=species, acquired_at=NOON, made="FOUND"
    )


def found(lot: Lot, tank: Vessel, count: int = 5) -> Change:
    return Change(
        id=uuid4(), kind="FOUND", count=count, happened_at=NOON, to_lot=lot, to_vessel=tank
    )


def gone(lot: Lot, tank: Vessel, count: int, kind: str = "DIED") -> Change:
    return Change(
        id=uuid4(),
        kind=kind,
        count=count,
        happened_at=NOON + HOUR,
        from_lot=lot,
        from_vessel=tank,
    )


def test_book_tells_what_came_what_went_and_what_is_left(
    house: House, lot: Lot, tank: Vessel
) -> None:
    enter(found(lot, tank), by=house.ana, at=NOON)
    enter(gone(lot, tank, 2), by=house.ana, at=NOON + HOUR)

    told = books.book(lot)
    assert (told.found, told.died, told.remaining, told.closes) == (5, 2, 3, True)
    assert books.held_by(lot, at=NOON) == {tank.pk: 5}
    assert [(one.lot, one.count) for one in books.lots_in([tank.pk], at=NOON + HOUR)] == [(lot, 3)]


def test_book_as_recorded_then_differs_from_the_book_as_known_now(
    house: House, lot: Lot, tank: Vessel
) -> None:
    first = enter(found(lot, tank), by=house.ana, at=NOON)
    mended = Change(
        id=uuid4(),
        kind="FOUND",
        count=7,
        happened_at=NOON,
        to_lot=lot,
        to_vessel=tank,
        corrects=first,
        reason="Two more behind the filter.",
    )
    enter(mended, by=house.ana, at=NOON + 2 * HOUR)

    assert books.book(lot).remaining == 7
    assert books.book(lot, as_recorded_at=NOON + HOUR).remaining == 5
    (then,) = books.lots_at(house.site, at=NOON, as_recorded_at=NOON + HOUR)
    assert then.count == 5


def test_more_deaths_than_animals_are_refused_with_the_count(
    house: House, lot: Lot, tank: Vessel
) -> None:
    enter(found(lot, tank), by=house.ana, at=NOON)

    with pytest.raises(CountsDoNotClose, match="held 5 of L-0009"):
        enter(gone(lot, tank, 6), by=house.ana, at=NOON + HOUR)
    assert CountChange.objects.count() == 1


def test_a_correction_may_not_take_away_what_has_left_since(
    house: House, lot: Lot, tank: Vessel
) -> None:
    first = enter(found(lot, tank), by=house.ana, at=NOON)
    enter(gone(lot, tank, 5, "SOLD"), by=house.ana, at=NOON + HOUR)
    fewer = Change(
        id=uuid4(),
        kind="FOUND",
        count=4,
        happened_at=NOON,
        to_lot=lot,
        to_vessel=tank,
        corrects=first,
        reason="Miscounted.",
    )

    with pytest.raises(CountsDoNotClose):
        enter(fewer, by=house.ana, at=NOON + HOUR)


def test_no_animals_are_not_a_line(house: House, lot: Lot, tank: Vessel) -> None:
    with pytest.raises(NoneCounted):
        enter(found(lot, tank, 0), by=house.ana, at=NOON)


@pytest.mark.django_db(transaction=True)
def test_stranger_finds_no_lot(house: House, lot: Lot) -> None:
    with transaction.atomic(), pytest.raises(NotFound):
        lot_for(house.bo, lot.pk, deed="quarantine.admit-animals")
    with transaction.atomic():
        assert lot_for(house.mo, lot.pk, deed="quarantine.admit-animals") == lot


def test_lots_are_numbered_on(house: House, lot: Lot) -> None:
    assert next_code(house.site) == "L-0010"


@pytest.mark.parametrize(
    ("kind", "sides"),
    [("DIED", "to"), ("ARRIVED", "from"), ("MOVED", "from"), ("DEAD_ON_ARRIVAL", "to")],
)
def test_database_refuses_a_kind_on_the_wrong_side(
    house: House, lot: Lot, tank: Vessel, kind: str, sides: str
) -> None:
    with pytest.raises(IntegrityError, match="quarantine_countchange_sides"), transaction.atomic():
        CountChange.objects.create(
            kind=kind,
            count=1,
            happened_at=NOON,
            recorded_at=NOON,
            by=house.ana,
            **{f"{sides}_lot": lot, f"{sides}_vessel": tank},
        )
