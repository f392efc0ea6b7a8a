"""Whatever is recorded in whatever order: every book closes, and no count goes below zero."""

from collections import Counter
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID, uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from facility.queries.proof import first_breach
from facility.refusals import Refusal
from quarantine.commands.box_corrections import CorrectBox, correct_box
from quarantine.commands.counts import CorrectCount, correct_count
from quarantine.commands.partings import MergeLots, SplitLot, merge_lots, split_lot
from quarantine.commands.sales import (
    AmendChange,
    ReportMissing,
    SendOff,
    amend_change,
    report_missing,
    sell_animals,
    send_off,
)
from quarantine.models import Box, CountChange, Lot
from quarantine.queries.books import book, held_by, lots_at
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.contracts.standing import undone
from tests.quarantine.arriving import box_of, consignment_of, received, sale_of, species_of
from tests.tanks.estate import opened, system_of, vessel_of

pytestmark = pytest.mark.django_db
MINUTE: Final = timedelta(minutes=1)


class Yard:
    """Two tanks of one water, and whatever was done to the animals in them."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.tanks = [vessel_of(house, code="A-01"), vessel_of(house, code="A-02")]
        system = system_of(house)
        for tank in self.tanks:
            opened(house, tank, system)
        self.consignment, self.species = consignment_of(house), species_of(house)
        self.minutes = self.refused = 0
        self.at = NOON

    def tank(self, choice: int) -> Vessel:
        return self.tanks[choice % 2]

    def lot(self, choice: int) -> UUID:
        ids = list(Lot.objects.order_by("code").values_list("pk", flat=True))
        return ids[choice % len(ids)] if ids else uuid4()

    def does(self, act: str, which: int, count: int) -> None:
        """Do it, a minute later than the act before or up to two before it; a refusal is one."""
        self.minutes += 1
        at = NOON + MINUTE * max(0, self.minutes - which % 3)
        acts: dict[str, Callable[[], object]] = {
            "box": lambda: self.box(which, count),
            "again": lambda: self.again(which, count),
            "sold": lambda: self.sold(which, count),
            "off": lambda: self.off(which, count),
            "missing": lambda: self.missing(which, count),
            "split": lambda: self.split(which, count),
            "merge": lambda: self.merge(which),
            "counted": lambda: self.counted(which, count),
            "amended": lambda: self.amended(which, count),
        }
        self.at = at
        try:
            acts[act]()
        except Refusal:
            self.refused += 1

    def box(self, which: int, count: int) -> None:
        command = box_of(
            self.consignment,
            self.species,
            self.tank(which),
            number=str(self.minutes),
            at=self.at,
            alive=count,
            dead_on_arrival=which,
            weak=0,
            is_new_lot=which % 2 == 0,
        )
        received(self.house, command)

    def again(self, which: int, count: int) -> None:
        boxes = list(Box.objects.current().order_by("happened_at", "pk"))
        if boxes:
            command = CorrectBox(
                id=uuid4(),
                box_id=boxes[which % len(boxes)].pk,
                invoiced=50,
                alive=count,
                dead_on_arrival=which,
                weak=0,
                reason="Counted again",
            )
            correct_box(command, by=self.house.ana, at=self.now)

    def sold(self, which: int, count: int) -> None:
        lot = Lot.objects.filter(pk=self.lot(which)).first()
        if lot:
            command = sale_of(lot, self.tank(which), count=count, at=self.at)
            sell_animals(command, by=self.house.ana, at=self.now)

    def off(self, which: int, count: int) -> None:
        command = SendOff(destination="Quillhaven", **self.where(which), count=count)
        send_off(command, by=self.house.ana, at=self.now)

    def missing(self, which: int, count: int) -> None:
        command = ReportMissing(note="Floor searched", **self.where(which), count=count)
        report_missing(command, by=self.house.ana, at=self.now)

    def split(self, which: int, count: int) -> None:
        split_lot(SplitLot(**self.where(which), count=count), by=self.house.ana, at=self.now)

    def merge(self, which: int) -> None:
        command = MergeLots(
            id=uuid4(), lot_ids=(self.lot(which), self.lot(which + 1)), happened_at=self.at
        )
        merge_lots(command, by=self.house.ana, at=self.now)

    def counted(self, which: int, count: int) -> None:
        command = CorrectCount(**self.where(which), counted=count, reason="Counted")
        correct_count(command, by=self.house.ana, at=self.now)

    def amended(self, which: int, count: int) -> None:
        rows = list(CountChange.objects.current().order_by("happened_at", "pk"))
        if rows:
            command = AmendChange(
                id=uuid4(), change_id=rows[which % len(rows)].pk, count=count, reason="Typed wrong"
            )
            amend_change(command, by=self.house.ana, at=self.now)

    def where(self, which: int) -> dict[str, Any]:
        return {
            "id": uuid4(),
            "lot_id": self.lot(which),
            "vessel_id": self.tank(which).pk,
            "happened_at": self.at,
        }

    @property
    def now(self) -> datetime:
        return NOON + timedelta(days=1)


KINDS: Final = (
    "box",
    "again",
    "sold",
    "off",
    "missing",
    "split",
    "merge",
    "counted",
    "amended",
)
ACTS: Final = st.lists(
    st.tuples(
        st.sampled_from(
            [
                "box",
                "box",
                "again",
                "sold",
                "off",
                "missing",
                "split",
                "merge",
                "counted",
                "amended",
            ]
        ),
        st.integers(0, 5),
        st.integers(0, 60),
    ),
    min_size=6,
    max_size=22,
)


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(acts=ACTS)
def test_every_book_closes_at_every_moment(house: House, acts: list[tuple[str, int, int]]) -> None:
    with undone():
        yard = Yard(house)
        yard.does("box", 0, 40)
        yard.does("box", 1, 30)
        for act, which, count in acts:
            yard.does(act, which, count)

        lots = list(Lot.objects.all())
        end = NOON + timedelta(days=1)
        for lot in lots:
            told = book(lot)
            assert told.closes
            assert told.remaining == sum(held_by(lot, at=end).values()) >= 0
        for minutes in range(yard.minutes + 1):
            held = lots_at(house.site, at=NOON + MINUTE * minutes)
            assert all(one.count > 0 for one in held)
        left = {lot.pk: book(lot).remaining for lot in lots}
        assert _by_lot(yard) == {pk: count for pk, count in left.items() if count}
        assert first_breach(house.site) is None


def _by_lot(yard: Yard) -> dict[UUID, int]:
    counts: Counter[UUID] = Counter()
    for one in lots_at(yard.house.site, at=NOON + timedelta(days=1)):
        counts[one.lot.pk] += one.count
    return dict(counts)
