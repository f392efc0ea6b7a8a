"""A reading put right or taken back: what was out of range, and its retest, follow."""

from datetime import datetime, timedelta
from typing import Final
from uuid import uuid4

import pytest

from tanks.commands.readings import CorrectReading, correct_reading
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Method, Reading, Vessel
from tests.cast import NOON, House
from tests.tanks.estate import vessel_of
from tests.tanks.exceeding import HOUR, acted, is_done, open_now, retest
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
LATER: Final = NOON + timedelta(hours=3)


@pytest.fixture
def tank(house: House) -> Vessel:
    return vessel_of(house)


@pytest.fixture
def nitrite(house: House) -> Method:
    return kit(house, "NITRITE")


@pytest.fixture
def broken(house: House, tank: Vessel, nitrite: Method) -> Reading:
    return logged(house, tank, nitrite, "0.5")


def corrected(house: House, reading: Reading, text: str, *, at: datetime) -> Reading:
    command = CorrectReading(
        id=uuid4(),
        reading_id=reading.pk,
        text=text,
        unit=reading.unit,
        basis=reading.basis,
        method_id=reading.method_id,
        reason="Misread",
    )
    return correct_reading(command, by=house.ana, at=at)


def test_a_first_reading_put_right_ends_it_and_the_retest(
    house: House, tank: Vessel, broken: Reading
) -> None:
    acted(house, broken)
    corrected(house, broken, "0.05", at=LATER)

    assert open_now(house, at=LATER) == []
    assert is_done(retest(), tank, at=LATER)


def test_a_first_reading_put_right_that_is_out_all_the_same_stays_with_what_was_done(
    house: House, tank: Vessel, broken: Reading
) -> None:
    acted(house, broken)
    later = corrected(house, broken, "0.4", at=LATER)

    (one,) = open_now(house, at=LATER)
    assert one.told.exceedance.readings == {later.pk}
    assert [act.note for act in one.told.actions] == ["A third"]
    assert not is_done(retest(), tank, at=LATER)


def test_a_first_reading_taken_back_ends_it_and_the_retest(
    house: House, tank: Vessel, broken: Reading
) -> None:
    acted(house, broken)
    gone = WithdrawEntry(
        id=uuid4(), model="tanks.reading", fact_id=broken.pk, reason="Another tank's"
    )
    withdraw_entry(gone, by=house.ana, at=LATER)

    assert open_now(house, at=LATER) == []
    assert is_done(retest(), tank, at=LATER)


def test_a_passing_reading_put_right_opens_it_again(
    house: House, tank: Vessel, nitrite: Method, broken: Reading
) -> None:
    acted(house, broken)
    passed = logged(house, tank, nitrite, "0.05", at=LATER)
    assert is_done(retest(), tank, at=LATER)

    corrected(house, passed, "0.5", at=LATER + HOUR)

    assert not is_done(retest(), tank, at=LATER + HOUR)
    assert len(open_now(house, at=LATER + HOUR)) == 1


def test_taken_back_an_act_is_no_longer_told(house: House, broken: Reading) -> None:
    action = acted(house, broken)
    gone = WithdrawEntry(
        id=uuid4(), model="tanks.correctiveaction", fact_id=action.pk, reason="Next tank"
    )
    withdraw_entry(gone, by=house.ana, at=LATER)

    (one,) = open_now(house, at=LATER)
    assert one.told.actions == ()
