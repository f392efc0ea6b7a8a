"""What ends a certified feed, through commands; every event is common practice, no source."""

from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest

from tanks.commands.changes import LogFeeding, log_feeding
from tanks.queries.cycles import course
from tanks.rules.certificates import InForce, Kind, Standing, Voided
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of
from tests.tanks.proving import DAY, HOUR, Proving, proving

_SIGNED = NOON + 49 * HOUR


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def standing_of(tank: Proving, *, at: datetime) -> Standing:
    held = course(tank.cycle, at=at).certificate
    assert held is not None
    return held.standing


@pytest.mark.parametrize(
    ("kind", "lasted_h", "by"),
    [
        ("DISINFECTANT", None, Kind.DISINFECTANT),
        ("MEDIA_DRIED", None, Kind.MEDIA_DRIED),
        ("MEDIA_REPLACED", None, Kind.MEDIA_REPLACED),
        ("POWER_LOSS", "4.5", Kind.POWER_LOSS),
        ("POWER_LOSS", None, Kind.POWER_LOSS),
    ],
)
def test_an_incident_voids(tank: Proving, kind: str, lasted_h: str | None, by: Kind) -> None:
    tank.certified(at=NOON)

    tank.befell(kind, at=_SIGNED + HOUR, lasted_h=lasted_h)

    standing = standing_of(tank, at=_SIGNED + 2 * HOUR)
    assert isinstance(standing, Voided)
    assert (standing.by, standing.at) == (by, _SIGNED + HOUR)


@pytest.mark.parametrize(("kind", "lasted_h"), [("POWER_LOSS", "4.0"), ("OTHER", None)])
def test_a_short_power_loss_does_not_void(tank: Proving, kind: str, lasted_h: str | None) -> None:
    tank.certified(at=NOON)

    tank.befell(kind, at=_SIGNED + HOUR, lasted_h=lasted_h)

    assert isinstance(standing_of(tank, at=_SIGNED + 2 * HOUR), InForce)


@pytest.mark.parametrize(("text", "voids"), [("6.4", True), ("6.5", False)])
def test_ph_below_the_floor_voids(tank: Proving, text: str, *, voids: bool) -> None:
    tank.certified(at=NOON)

    tank.read("PH", text, at=_SIGNED + HOUR)

    assert isinstance(standing_of(tank, at=_SIGNED + 2 * HOUR), Voided if voids else InForce)


def test_a_vessel_that_joins_voids_and_one_that_leaves_again_does_not_undo_it(
    tank: Proving,
) -> None:
    tank.certified(at=NOON)
    system = system_of(tank.house)
    measured(tank.house, system, litres="20")

    opened(tank.house, tank.vessel, system, at=_SIGNED + HOUR)

    standing = standing_of(tank, at=_SIGNED + 2 * HOUR)
    assert isinstance(standing, Voided)
    assert standing.by is Kind.MEMBERS


def test_another_net_volume_voids_beyond_five_per_cent(tank: Proving) -> None:
    tank.certified(at=NOON)

    measured(tank.house, tank.vessel, litres="415", at=_SIGNED + HOUR)
    assert isinstance(standing_of(tank, at=_SIGNED + 2 * HOUR), InForce)

    measured(tank.house, tank.vessel, litres="425", at=_SIGNED + 2 * HOUR)
    standing = standing_of(tank, at=_SIGNED + 3 * HOUR)
    assert isinstance(standing, Voided)
    assert standing.by is Kind.VOLUME


def test_unfed_beyond_the_policy_lapses_and_a_later_feed_does_not_revive_it(
    tank: Proving,
) -> None:
    tank.certified(at=NOON)
    fed_at = NOON + 24 * HOUR + timedelta(minutes=5)

    assert isinstance(standing_of(tank, at=fed_at + 3 * DAY), InForce)
    _feed(tank, at=fed_at + 4 * DAY)

    standing = standing_of(tank, at=fed_at + 4 * DAY + HOUR)
    assert isinstance(standing, Voided)
    assert (standing.by, standing.at) == (Kind.UNFED, fed_at + 3 * DAY)


def test_daily_feed_keeps_it_in_force(tank: Proving) -> None:
    tank.certified(at=NOON)

    for day in range(2, 9):
        _feed(tank, at=NOON + day * DAY + 2 * HOUR)

    standing = standing_of(tank, at=NOON + 9 * DAY)
    assert isinstance(standing, InForce)
    assert standing.lapses_at == NOON + 8 * DAY + 2 * HOUR + 3 * DAY


def test_a_correction_of_a_pass_reading_undoes_the_certificate(tank: Proving) -> None:
    certificate = tank.certified(at=NOON)
    verdict_id = certificate.pass_ids[0]
    tan_id = tank.cycle.challenges.get(verdicts=verdict_id).verdicts.get().tan_id

    tank.correct(tan_id, "0.5", by=tank.house.mo, at=_SIGNED)

    standing = standing_of(tank, at=_SIGNED + HOUR)
    assert isinstance(standing, Voided)
    assert standing.by is Kind.PASS_UNDONE
    assert "0.5 mg/L as N" in standing.sentence


def test_a_harmless_correction_leaves_the_certificate_in_force(tank: Proving) -> None:
    certificate = tank.certified(at=NOON)
    tan_id = tank.cycle.challenges.get(verdicts=certificate.pass_ids[0]).verdicts.get().tan_id

    tank.correct(tan_id, "0.2", by=tank.house.mo, at=_SIGNED)

    assert isinstance(standing_of(tank, at=_SIGNED + HOUR), InForce)


def test_an_earlier_power_loss_that_is_told_late_voids_all_the_same(tank: Proving) -> None:
    """Two deliveries in either order end in the same standing."""
    tank.certified(at=NOON)
    _feed(tank, at=_SIGNED + 5 * HOUR)

    tank.befell("POWER_LOSS", at=_SIGNED + HOUR, lasted_h="9")

    standing = standing_of(tank, at=_SIGNED + 6 * HOUR)
    assert isinstance(standing, Voided)
    assert standing.at == _SIGNED + HOUR


def _feed(tank: Proving, *, at: datetime) -> None:
    command = LogFeeding(
        id=uuid4(),
        vessel_id=tank.vessel.pk,
        grams=Decimal(5),
        protein_share=Decimal("0.45"),
        happened_at=at,
    )
    log_feeding(command, by=tank.house.ana, at=at)
