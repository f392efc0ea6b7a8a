"""Deaths leave the book; denominator, cause and carcass stay with them."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from facility.commands.deliveries import InTheFuture
from facility.models import Entry
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from quarantine.commands import deaths
from quarantine.commands.books import CountsDoNotClose, NoneCounted
from quarantine.commands.deaths import WithdrawDeath, log_death, withdraw_death
from quarantine.commands.observations import NoteMissing, UnknownSigns
from quarantine.models import Death, Lot
from quarantine.queries.books import book, held_by
from tanks.commands.entering import CorrectedBefore, ReasonMissing
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, death_of, died
from tests.tanks.estate import vessel_of

HOUR = timedelta(hours=1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house, code="Q-01")


@pytest.fixture
def lot(house: House, tank: Vessel) -> Lot:
    return arrived(house, tank, count=200)


def test_the_dead_leave_the_book_and_the_denominator_stays_with_them(
    house: House, lot: Lot, tank: Vessel
) -> None:
    death = died(house, lot, tank, at=NOON + HOUR, count=3)

    assert (death.alive_before, death.alive_known) == (200, "BOOK")
    assert (death.cause, death.is_explained) == ("UNKNOWN", False)
    assert held_by(lot, at=NOON + HOUR) == {tank.pk: 197}
    found = book(lot)
    assert (found.died, found.remaining, found.closes) == (3, 197, True)
    line = Entry.objects.latest("pk")
    assert (line.kind, line.about) == ("quarantine.log-death", f"tanks.vessel:{tank.pk}")
    assert first_breach(house.site) is None


def test_a_count_by_eye_is_kept_as_the_denominator(house: House, lot: Lot, tank: Vessel) -> None:
    death = died(house, lot, tank, alive_before=190, alive_known="ESTIMATED", cause="JUMPED")

    assert (death.alive_before, death.alive_known) == (190, "ESTIMATED")
    assert death.is_explained


def test_put_down_is_not_died(house: House, lot: Lot, tank: Vessel) -> None:
    died(house, lot, tank, kind="EUTHANISED", cause="WELFARE", count=2)

    found = book(lot)
    assert (found.died, found.euthanised) == (0, 2)


def test_delivered_twice_is_one_death_and_otherwise_refused(
    house: House, lot: Lot, tank: Vessel
) -> None:
    command = death_of(lot, tank, count=2)
    first = log_death(command, by=house.ana, at=NOON)

    assert log_death(command, by=house.ana, at=NOON + HOUR) == first
    same: dict[str, Any] = {"id": command.id, "count": 2}
    others: list[dict[str, Any]] = [{"count": 3}, {"alive_before": 150, "alive_known": "COUNTED"}]
    for changes in others:
        with pytest.raises(IdTaken):
            log_death(death_of(lot, tank, **(same | changes)), by=house.ana, at=NOON)
    assert book(lot).died == 2


def test_what_cannot_be_is_refused_in_a_sentence(house: House, lot: Lot, tank: Vessel) -> None:
    for changes, refusal in (
        ({"count": 0}, NoneCounted),
        ({"count": 201}, CountsDoNotClose),
        ({"kind": "SOLD"}, deaths.KindUnknown),
        ({"cause": "BAD LUCK"}, deaths.CauseUnsaid),
        ({"carcass": "EATEN"}, deaths.CarcassUnsaid),
        ({"count": 5, "alive_before": 4, "alive_known": "COUNTED"}, deaths.FewerThanDied),
        ({"alive_before": 4}, deaths.FewerThanDied),
        ({"alive_known": "COUNTED"}, deaths.FewerThanDied),
        ({"last_seen_alive_at": NOON + HOUR}, deaths.AliveAfterDeath),
        ({"signs": ("LIMP",)}, UnknownSigns),
        ({"signs": ("OTHER",)}, NoteMissing),
        ({"happened_at": NOON + HOUR}, InTheFuture),
        ({"lot_id": uuid4()}, NotFound),
    ):
        with pytest.raises(refusal):
            log_death(death_of(lot, tank, **changes), by=house.ana, at=NOON)
    assert book(lot).remaining == 200
    assert not Death.objects.exists()


def test_a_death_entered_wrongly_is_taken_back_and_the_animal_with_it(
    house: House, lot: Lot, tank: Vessel
) -> None:
    death = died(house, lot, tank, count=3)
    command = WithdrawDeath(id=uuid4(), death_id=death.pk, reason="They were hiding")

    withdraw_death(command, by=house.ana, at=NOON + HOUR)

    assert held_by(lot, at=NOON + HOUR) == {tank.pk: 200}
    assert not Death.objects.current().exists()
    assert Death.objects.filter(pk=death.pk).exists()
    assert first_breach(house.site) is None
    again = WithdrawDeath(id=uuid4(), death_id=death.pk, reason="Again")
    with pytest.raises(CorrectedBefore):
        withdraw_death(again, by=house.ana, at=NOON + HOUR)


def test_taking_back_asks_why(house: House, lot: Lot, tank: Vessel) -> None:
    death = died(house, lot, tank)

    with pytest.raises(ReasonMissing):
        withdraw_death(
            WithdrawDeath(id=uuid4(), death_id=death.pk, reason=" "), by=house.ana, at=NOON
        )


def test_stranger_and_auditor_record_no_death(house: House, lot: Lot, tank: Vessel) -> None:
    with pytest.raises(NotFound):
        log_death(death_of(lot, tank), by=house.bo, at=NOON)
    with pytest.raises(NotAllowed):
        log_death(death_of(lot, tank), by=house.hale, at=NOON)


def test_the_database_keeps_no_explained_death_of_unknown_cause(
    house: House, lot: Lot, tank: Vessel
) -> None:
    death = died(house, lot, tank)
    other = died(house, lot, tank)
    death.pk, death._state.adding, death.is_explained = uuid4(), True, True
    death.change = other.change

    with pytest.raises(IntegrityError, match="quarantine_death_explained"), transaction.atomic():
        death.save(force_insert=True)
