"""A challenge is a logged dose; its verdict names the readings, and is judged again for ever."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import UUID, uuid4

import pytest

from facility.models import Entry
from facility.refusals import IdTaken, NotAllowed, NotFound
from tanks.commands.challenges import (
    AlreadyJudged,
    BeginChallenge,
    DoseUnfit,
    JudgeChallenge,
    NitriteUnfit,
    StartUnfit,
    TanUnfit,
    begin_challenge,
    judge_challenge,
)
from tanks.commands.changes import LogWaterChange, log_water_change
from tanks.commands.readings import CorrectReading, correct_reading
from tanks.commands.withdrawals import WithdrawEntry, withdraw_entry
from tanks.models import Challenge, Verdict
from tanks.queries.cycles import course
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.proving import DAY, HOUR, Proving, proving
from tests.tanks.samples import logged
from tests.tanks.shelf import dosed

END = NOON + 24 * HOUR


@pytest.fixture
def tank(house: House) -> Proving:
    return proving(house)


def test_a_challenge_keeps_the_load_to_prove(tank: Proving) -> None:
    challenge = tank.challenge(at=NOON)

    challenge.refresh_from_db()
    assert challenge.target_mg_l_n == Decimal("2.000")
    assert challenge.happened_at == NOON
    assert Entry.objects.get(kind="tanks.begin-challenge").about == f"tanks.cycle:{tank.cycle.pk}"


def test_begun_twice_is_begun_once(tank: Proving) -> None:
    command = BeginChallenge(id=uuid4(), cycle_id=tank.cycle.pk, dose_id=tank.dose(at=NOON).pk)

    first = begin_challenge(command, by=tank.house.ana, at=NOON)
    again = begin_challenge(command, by=tank.house.ana, at=NOON)

    assert first == again
    assert Challenge.objects.count() == 1
    with pytest.raises(DoseUnfit, match="begun a challenge before"):
        begin_challenge(replace(command, id=uuid4()), by=tank.house.ana, at=NOON)


def test_only_a_challenge_dose_of_this_water_begins_one(tank: Proving) -> None:
    meal = tank.dose(at=NOON, purpose="AMMONIA")
    other = vessel_of(tank.house, code="C-3")
    measured(tank.house, other, litres="400")
    elsewhere = dosed(tank.salt, other, by=tank.house.ana, purpose="CHALLENGE")

    for dose in (meal, elsewhere):
        command = BeginChallenge(id=uuid4(), cycle_id=tank.cycle.pk, dose_id=dose.pk)
        with pytest.raises(DoseUnfit):
            begin_challenge(command, by=tank.house.ana, at=NOON)


def test_a_verdict_keeps_what_the_rule_made_of_it(tank: Proving) -> None:
    verdict = tank.verdict(at=NOON)

    verdict.refresh_from_db()
    assert verdict.passed
    assert [finding["state"] for finding in verdict.findings] == ["met"] * 5
    line = Entry.objects.get(kind="tanks.judge-challenge")
    assert (line.about, line.by) == (f"tanks.cycle:{tank.cycle.pk}", tank.house.mo)


def test_judged_twice_is_judged_once(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)

    first = judge_challenge(command, by=tank.house.mo, at=END)
    again = judge_challenge(command, by=tank.house.mo, at=END)

    assert first == again
    assert Verdict.objects.count() == 1
    with pytest.raises(IdTaken):
        judge_challenge(replace(command, tan_id=command.start_id), by=tank.house.mo, at=END)
    with pytest.raises(AlreadyJudged, match="correct or withdraw that reading or dose"):
        judge_challenge(replace(command, id=uuid4()), by=tank.house.mo, at=END)


@pytest.mark.parametrize(("way", "passes"), [("correct", False), ("withdraw", True)])
def test_both_ways_the_refusal_names_let_a_pass_be_judged_again(
    tank: Proving, way: str, *, passes: bool
) -> None:
    """A reading corrected to 0.9 mg/L still stands against it; one withdrawn does not."""
    first = tank.verdict(at=NOON)
    other = tank.read("NITRITE", "<0.1", at=END)
    if way == "correct":
        _correct(tank, first.nitrite_id, "0.9")
    else:
        _withdraw(tank, "tanks.reading", first.nitrite_id)
    again = JudgeChallenge(
        id=uuid4(),
        challenge_id=first.challenge_id,
        start_id=first.start_id,
        tan_id=first.tan_id,
        nitrite_id=other.pk,
        happened_at=END + HOUR,
    )

    second = judge_challenge(again, by=tank.house.mo, at=END + HOUR)

    assert second.passed is passes
    assert second.corrects == first


def test_a_withdrawn_dose_lets_it_be_judged_again_and_never_pass(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)
    first = judge_challenge(command, by=tank.house.mo, at=END)
    _withdraw(tank, "tanks.dose", first.challenge.dose_id)

    second = judge_challenge(replace(command, id=uuid4()), by=tank.house.mo, at=END + HOUR)

    assert first.passed
    assert not second.passed


def test_strangers_find_nothing_and_auditors_may_not_judge(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)

    with pytest.raises(NotFound):
        judge_challenge(command, by=tank.house.bo, at=END)
    with pytest.raises(NotAllowed):
        judge_challenge(command, by=tank.house.hale, at=END)
    with pytest.raises(NotFound):
        judge_challenge(replace(command, challenge_id=uuid4()), by=tank.house.mo, at=END)


def test_each_reading_must_be_of_its_kind_and_of_this_water(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)
    other = vessel_of(tank.house, code="C-3")
    foreign = logged(tank.house, other, tank.method("TAN"), "<0.1", at=END)

    with pytest.raises(StartUnfit):
        judge_challenge(replace(command, start_id=uuid4()), by=tank.house.mo, at=END)
    with pytest.raises(TanUnfit):
        judge_challenge(replace(command, tan_id=foreign.pk), by=tank.house.mo, at=END)
    with pytest.raises(NitriteUnfit):
        judge_challenge(replace(command, nitrite_id=command.tan_id), by=tank.house.mo, at=END)


def test_what_was_no_pass_may_be_judged_again_and_both_verdicts_stay(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)
    too_late = tank.read("TAN", "1.9", at=NOON + 3 * HOUR)
    failed = judge_challenge(replace(command, start_id=too_late.pk), by=tank.house.mo, at=END)
    assert not failed.passed
    again = replace(command, id=uuid4())

    second = judge_challenge(again, by=tank.house.mo, at=END + HOUR)

    assert second.passed
    assert second.corrects == failed
    assert Verdict.objects.count() == 2
    assert [one.passed for one in course(tank.cycle, at=END + HOUR).challenges] == [True]


def test_a_correction_is_followed_without_a_new_verdict(tank: Proving) -> None:
    verdict = tank.verdict(at=NOON)
    _correct(tank, verdict.nitrite_id, "0.9")

    tried = course(tank.cycle, at=END + HOUR).challenges[0]

    assert verdict.passed
    assert not tried.passed
    assert tried.judgement is not None
    assert "0.9 mg/L as N" in tried.judgement.why_not


def test_a_withdrawn_reading_or_dose_undoes_the_pass(tank: Proving) -> None:
    verdict = tank.verdict(at=NOON)
    dose = verdict.challenge.dose
    assert course(tank.cycle, at=END).challenges[0].passed

    _withdraw(tank, "tanks.dose", dose.pk)

    assert not course(tank.cycle, at=END + HOUR).challenges[0].passed


def test_a_water_change_during_the_challenge_is_no_proof(tank: Proving) -> None:
    command = tank.judgeable(at=NOON)
    change = LogWaterChange(
        id=uuid4(),
        vessel_id=tank.vessel.pk,
        litres=Decimal(200),
        happened_at=NOON + timedelta(hours=10),
    )
    log_water_change(change, by=tank.house.ana, at=NOON + DAY)

    verdict = judge_challenge(command, by=tank.house.mo, at=END)

    assert not verdict.passed
    assert any("200 L of water" in finding["sentence"] for finding in verdict.findings)


def _withdraw(tank: Proving, model: str, fact_id: UUID) -> None:
    command = WithdrawEntry(
        id=uuid4(), model=model, fact_id=fact_id, reason="poured into the other tank"
    )
    withdraw_entry(command, by=tank.house.mo, at=END + HOUR)


def _correct(tank: Proving, reading_id: UUID, text: str) -> UUID:
    command = CorrectReading(
        id=uuid4(),
        reading_id=reading_id,
        text=text,
        unit="mg/L",
        basis="N",
        method_id=tank.method("NITRITE").pk,
        reason="misread the second digit",
    )
    return correct_reading(command, by=tank.house.ana, at=END + HOUR).pk
