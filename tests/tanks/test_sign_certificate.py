"""A certified feed: two passes in a row, a second person, and everything that voids it.

2 mg/L-N in 400 L at 45 % protein is 19.3 g/day: 2 x 400 / (1000 x 0.45 x 0.092), after Timmons &
Ebeling 2013 (P_TAN = feed x protein x 0.092). What voids a proof is common practice, no source.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID, uuid4

import pytest

from facility.models import Entry, Person
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.certificates import (
    AlreadyCertified,
    MeaningMissing,
    NotProven,
    ProofLapsed,
    SamePerson,
    sign_certificate,
)
from tanks.commands.changes import LogFeeding, LogIncident, log_feeding, log_incident
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.models import Certificate, Verdict
from tanks.queries.cycles import course
from tanks.rules.certificates import InForce, Kind, Standing, Voided
from tests.cast import NOON, House
from tests.tanks.estate import measured, opened, system_of
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.samples import kit


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def standing_of(tank: Proving, *, at: datetime) -> Standing:
    held = course(tank.cycle, at=at).certificate
    assert held is not None
    return held.standing


def test_two_passes_certify_the_feed_of_the_handbook(tank: Proving) -> None:
    certificate = tank.certified(at=NOON)

    certificate.refresh_from_db()
    assert certificate.feed_g_per_day == Decimal("19.30")
    assert certificate.load_mg_l_n == Decimal("2.000")
    assert certificate.water_litres == Decimal(400)
    line = Entry.objects.get(kind="tanks.sign-certificate")
    assert (line.about, line.by) == (f"tanks.cycle:{tank.cycle.pk}", tank.house.vera)


def test_signing_twice_signs_once(tank: Proving) -> None:
    passes = _two_passes(tank)
    command = tank.signable(*passes)

    first = sign_certificate(command, by=tank.house.vera, at=_SIGNED)
    again = sign_certificate(command, by=tank.house.vera, at=_SIGNED)

    assert first == again
    assert Certificate.objects.count() == 1
    assert Entry.objects.filter(kind="tanks.sign-certificate").count() == 1
    with pytest.raises(IdTaken):
        sign_certificate(replace(command, meaning="Other"), by=tank.house.vera, at=_SIGNED)


def test_whoever_read_a_pass_cannot_sign_for_it(tank: Proving) -> None:
    passes = _two_passes(tank)

    with pytest.raises(SamePerson):
        tank.sign(*passes, at=_SIGNED, by=tank.house.ana)


def test_whoever_corrected_a_reading_of_a_pass_cannot_sign_for_it(tank: Proving) -> None:
    passes = _two_passes(tank)
    _correct(tank, passes[0].tan_id, "<0.05", by=tank.house.mo)

    with pytest.raises(SamePerson):
        tank.sign(*passes, at=_SIGNED, by=tank.house.mo)


def test_auditor_may_not_sign_and_a_stranger_finds_nothing(tank: Proving) -> None:
    passes = _two_passes(tank)

    with pytest.raises(NotAllowed):
        tank.sign(*passes, at=_SIGNED, by=tank.house.hale)
    with pytest.raises(NotFound):
        tank.sign(*passes, at=_SIGNED, by=tank.house.bo)


def test_a_signature_says_what_it_stands_for(tank: Proving) -> None:
    command = replace(tank.signable(*_two_passes(tank)), meaning="  ")

    with pytest.raises(MeaningMissing):
        sign_certificate(command, by=tank.house.vera, at=_SIGNED)


def test_one_pass_is_not_enough(tank: Proving) -> None:
    single = tank.verdict(at=NOON)

    with pytest.raises(NotProven, match="2 passes in a row are needed, here are 1"):
        tank.sign(single, at=NOON + 25 * HOUR)


def test_a_failed_challenge_between_breaks_the_row(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    tank.verdict(at=NOON + DAY + HOUR, tan="1.0")
    third = tank.verdict(at=NOON + 2 * DAY + 2 * HOUR)

    with pytest.raises(NotProven, match="lies between"):
        tank.sign(first, third, at=NOON + 4 * DAY)


def test_a_challenge_nobody_judged_breaks_the_row(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    tank.judgeable(at=NOON + DAY + HOUR)
    third = tank.verdict(at=NOON + 2 * DAY + 2 * HOUR)

    with pytest.raises(NotProven, match="lies between"):
        tank.sign(first, third, at=NOON + 4 * DAY)


def test_passes_by_different_methods_do_not_add_up(tank: Proving) -> None:
    first = tank.verdict(at=NOON)
    del tank.methods["TAN"]
    tank.methods["TAN"] = kit(tank.house, "TAN", name="Another photometer", kind="PHOTOMETER")
    second = tank.verdict(at=NOON + DAY + HOUR)

    with pytest.raises(NotProven, match="different TAN methods"):
        tank.sign(first, second, at=NOON + 3 * DAY)


def test_a_verdict_of_no_challenge_here_is_no_pass(tank: Proving) -> None:
    passes = _two_passes(tank)
    command = replace(tank.signable(*passes), pass_ids=(passes[0].pk, uuid4()))

    with pytest.raises(NotProven):
        sign_certificate(command, by=tank.house.vera, at=_SIGNED)


def test_the_same_passes_carry_one_certificate(tank: Proving) -> None:
    passes = _two_passes(tank)
    tank.sign(*passes, at=_SIGNED)

    with pytest.raises(AlreadyCertified):
        tank.sign(*passes, at=_SIGNED)


def test_passes_voided_before_the_signature_cannot_be_signed(tank: Proving) -> None:
    passes = _two_passes(tank)
    _befell(tank, "DISINFECTANT", at=NOON + 48.5 * HOUR)

    with pytest.raises(ProofLapsed, match="Disinfectant"):
        tank.sign(*passes, at=_SIGNED)


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

    _befell(tank, kind, at=_SIGNED + HOUR, lasted_h=lasted_h)

    standing = standing_of(tank, at=_SIGNED + 2 * HOUR)
    assert isinstance(standing, Voided)
    assert (standing.by, standing.at) == (by, _SIGNED + HOUR)


@pytest.mark.parametrize(("kind", "lasted_h"), [("POWER_LOSS", "4.0"), ("OTHER", None)])
def test_a_short_power_loss_does_not_void(tank: Proving, kind: str, lasted_h: str | None) -> None:
    tank.certified(at=NOON)

    _befell(tank, kind, at=_SIGNED + HOUR, lasted_h=lasted_h)

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

    _correct(tank, tan_id, "0.5", by=tank.house.mo)

    standing = standing_of(tank, at=_SIGNED + HOUR)
    assert isinstance(standing, Voided)
    assert standing.by is Kind.PASS_UNDONE
    assert "0.5 mg/L as N" in standing.sentence


def test_a_harmless_correction_leaves_the_certificate_in_force(tank: Proving) -> None:
    certificate = tank.certified(at=NOON)
    tan_id = tank.cycle.challenges.get(verdicts=certificate.pass_ids[0]).verdicts.get().tan_id

    _correct(tank, tan_id, "0.2", by=tank.house.mo)

    assert isinstance(standing_of(tank, at=_SIGNED + HOUR), InForce)


def test_an_earlier_power_loss_that_is_told_late_voids_all_the_same(tank: Proving) -> None:
    """Two deliveries in either order end in the same standing."""
    tank.certified(at=NOON)
    _feed(tank, at=_SIGNED + 5 * HOUR)

    _befell(tank, "POWER_LOSS", at=_SIGNED + HOUR, lasted_h="9")

    standing = standing_of(tank, at=_SIGNED + 6 * HOUR)
    assert isinstance(standing, Voided)
    assert standing.at == _SIGNED + HOUR


_SIGNED = NOON + 49 * HOUR


def _two_passes(tank: Proving) -> list[Verdict]:
    return [tank.verdict(at=NOON), tank.verdict(at=NOON + 24 * HOUR + timedelta(minutes=5))]


def _befell(tank: Proving, kind: str, *, at: datetime, lasted_h: str | None = None) -> None:
    command = LogIncident(
        id=uuid4(),
        vessel_id=tank.vessel.pk,
        kind=kind,
        lasted_h=None if lasted_h is None else Decimal(lasted_h),
        note="noticed on the evening round",
        happened_at=at,
    )
    log_incident(command, by=tank.house.ana, at=at)


def _feed(tank: Proving, *, at: datetime) -> None:
    command = LogFeeding(
        id=uuid4(),
        vessel_id=tank.vessel.pk,
        grams=Decimal(5),
        protein_share=Decimal("0.45"),
        happened_at=at,
    )
    log_feeding(command, by=tank.house.ana, at=at)


def _correct(tank: Proving, reading_id: UUID, text: str, *, by: Person) -> None:
    command = CorrectReading(
        id=uuid4(),
        reading_id=reading_id,
        text=text,
        unit="mg/L",
        basis="N",
        method_id=tank.method("TAN").pk,
        reason="misread the second digit",
    )
    correct_reading(command, by=by, at=_SIGNED)
