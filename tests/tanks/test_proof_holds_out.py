"""Ways to keep a proof that the filter has not given. What counts is common practice, no source."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from tanks.commands.certificates import ProofLapsed
from tanks.commands.challenges import JudgeChallenge, judge_challenge
from tanks.commands.devices import SwitchDevice, switch_device
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Device
from tanks.queries.cycles import course
from tanks.rules.certificates import InForce, Kind, Standing, Voided
from tests.cast import NOON, House
from tests.tanks.estate import device_on
from tests.tanks.proving import HOUR, Proving, proving

_SIGNED = NOON + 49 * HOUR


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def standing_of(tank: Proving, *, at: datetime) -> Standing:
    held = course(tank.cycle, at=at).certificate
    assert held is not None
    return held.standing


def switched(tank: Proving, device: Device, *, at: datetime, is_on: bool = False) -> None:
    command = SwitchDevice(
        id=uuid4(),
        device_id=device.pk,
        is_on=is_on,
        why="" if is_on else "pump service",
        due_back_at=None if is_on else at + 3 * HOUR,
        owner_id=tank.house.ana.pk,
        happened_at=at,
    )
    switch_device(command, by=tank.house.ana, at=at)


def test_an_early_low_end_reading_does_not_hide_a_higher_one_after_it(tank: Proving) -> None:
    challenge = tank.challenge(at=NOON)
    begun = tank.read("TAN", "2.0", at=NOON + timedelta(minutes=45))
    early = tank.read("TAN", "<0.1", at=NOON + 22 * HOUR)
    tank.read("TAN", "1.0", at=NOON + 23 * HOUR)
    ended = NOON + 24 * HOUR
    tank.read("PH", "7.9", at=ended)
    nitrite = tank.read("NITRITE", "<0.1", at=ended)
    command = JudgeChallenge(
        id=uuid4(),
        challenge_id=challenge.pk,
        start_id=begun.pk,
        tan_id=early.pk,
        nitrite_id=nitrite.pk,
        happened_at=ended,
    )

    assert not judge_challenge(command, by=tank.house.mo, at=ended).passed


def test_a_failure_judged_with_an_early_date_voids_all_the_same(tank: Proving) -> None:
    tank.certified(at=NOON)
    failing = tank.judgeable(at=NOON + 50 * HOUR, tan="1.0")
    early = JudgeChallenge(
        id=uuid4(),
        challenge_id=failing.challenge_id,
        start_id=failing.start_id,
        tan_id=failing.tan_id,
        nitrite_id=failing.nitrite_id,
        happened_at=NOON - HOUR,
    )

    judge_challenge(early, by=tank.house.mo, at=failing.happened_at)

    standing = standing_of(tank, at=failing.happened_at + HOUR)
    assert isinstance(standing, Voided)
    assert (standing.by, standing.at) == (Kind.LEFT_OVER, failing.happened_at)


def test_who_signed_cannot_mend_a_fallen_pass_alone(tank: Proving) -> None:
    """Misuse must need the collaboration of two people: 21 CFR 11.200(a)(3)."""
    first, second = tank.two_passes()
    tank.sign(first, second, at=_SIGNED, by=tank.house.mo)
    fallen = tank.correct(first.tan_id, "0.9", by=tank.house.ana, at=_SIGNED + HOUR)

    tank.correct(fallen.pk, "<0.1", by=tank.house.mo, at=_SIGNED + 2 * HOUR)

    standing = standing_of(tank, at=_SIGNED + 3 * HOUR)
    assert isinstance(standing, Voided)
    assert standing.by is Kind.PASS_UNDONE
    assert "Mo Tarrant" in standing.sentence


@pytest.mark.parametrize(("hours", "counts"), [(1, False), (23, True)])
def test_a_challenge_whose_dose_was_a_slip_is_dropped_until_it_could_hide_a_failure(
    tank: Proving, hours: int, *, counts: bool
) -> None:
    challenge = tank.challenge(at=NOON)
    command = WithdrawEntry(
        id=uuid4(), model="tanks.dose", fact_id=challenge.dose_id, reason="another tank"
    )

    withdraw_entry(command, by=tank.house.ana, at=NOON + hours * HOUR)

    assert bool(course(tank.cycle, at=NOON + 30 * HOUR).challenges) is counts


def test_a_biofilter_left_off_by_one_loan_after_another_voids(tank: Proving) -> None:
    device = device_on(tank.house, tank.vessel, kind="BIOFILTER", name="Trickle tower")
    tank.certified(at=NOON)
    for hours in (1, 3.5, 6):
        switched(tank, device, at=_SIGNED + hours * HOUR)
    switched(tank, device, at=_SIGNED + 8 * HOUR, is_on=True)

    standing = standing_of(tank, at=_SIGNED + 9 * HOUR)

    assert isinstance(standing, Voided)
    assert (standing.by, standing.at) == (Kind.POWER_LOSS, _SIGNED + HOUR)


def test_passes_read_while_the_biofilter_stood_still_cannot_be_signed(tank: Proving) -> None:
    device = device_on(tank.house, tank.vessel, kind="BIOFILTER", name="Trickle tower")
    switched(tank, device, at=NOON + HOUR)

    with pytest.raises(ProofLapsed, match="Trickle tower stood still"):
        tank.certified(at=NOON + 2 * HOUR)


def test_short_stops_of_a_biofilter_that_ran_between_them_do_not_void(tank: Proving) -> None:
    device = device_on(tank.house, tank.vessel, kind="BIOFILTER", name="Trickle tower")
    tank.certified(at=NOON)
    for hours in (1, 5):
        switched(tank, device, at=_SIGNED + hours * HOUR)
        switched(tank, device, at=_SIGNED + (hours + 3) * HOUR, is_on=True)

    assert isinstance(standing_of(tank, at=_SIGNED + 9 * HOUR), InForce)
