"""A start-up told line by line, with what each entry replaced."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from facility.models import Person
from facility.rules.wording import written
from tanks.models import Cycle
from tanks.queries.cycles import Course
from tanks.queries.entries import Line, lines_among
from tanks.queries.proofs import Certified, Tried
from tanks.rules.certificates import Voided


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of the start-up itself: its start, challenges, verdicts, signatures, its end."""

    at: datetime
    recorded_at: datetime
    by: Person | None
    sentence: str
    note: str = ""
    state: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One line of the story: an entry about the water, or a step of the start-up."""

    at: datetime
    recorded_at: datetime
    line: Line | None = None
    step: Step | None = None


def timeline(told: Course) -> list[Told]:
    """Return everything of the start-up, newest first."""
    lines = [_of_line(line) for line in lines_among(told.story.facts())]
    steps = [_of_step(step) for step in _steps(told)]
    return sorted([*lines, *steps], key=lambda one: (one.at, one.recorded_at), reverse=True)


def _of_line(line: Line) -> Told:
    return Told(at=line.fact.happened_at, recorded_at=line.fact.recorded_at, line=line)


def _of_step(step: Step) -> Told:
    return Told(at=step.at, recorded_at=step.recorded_at, step=step)


def _steps(told: Course) -> Iterator[Step]:
    yield from _ends(told.cycle)
    for tried in told.challenges:
        yield from _challenge(tried)
    for certified in told.certificates:
        yield from _certificate(certified)


def _ends(cycle: Cycle) -> Iterator[Step]:
    begun = f"Start-up begun: {written(cycle.declared_feed_g_per_day)} g of feed a day to prove."
    yield Step(
        at=cycle.started_at, recorded_at=cycle.started_at, by=cycle.started_by, sentence=begun
    )
    if cycle.ended_at is not None:
        ended = f"Start-up ended: {cycle.get_outcome_display().lower()}."
        yield Step(at=cycle.ended_at, recorded_at=cycle.ended_at, by=None, sentence=ended)


def _challenge(tried: Tried) -> Iterator[Step]:
    challenge, verdict = tried.challenge, tried.verdict
    yield Step(
        at=challenge.happened_at,
        recorded_at=challenge.recorded_at,
        by=challenge.by,
        sentence=f"Challenge begun, {written(challenge.target_mg_l_n)} mg/L-N to be cleared.",
    )
    if verdict is None or tried.judgement is None:
        return
    was = "Passed" if verdict.passed else "Not passed"
    changed = tried.judgement.passed != verdict.passed
    is_now = "it passes now" if tried.judgement.passed else "it is no pass any more"
    note = f"Judged again after a correction: {is_now}. " if changed else ""
    yield Step(
        at=verdict.happened_at,
        recorded_at=verdict.recorded_at,
        by=verdict.by,
        sentence=f"{was}: challenge at {written(challenge.target_mg_l_n)} mg/L-N.",
        note=f"{note}{tried.judgement.why_not}".strip(),
        state="met" if tried.judgement.passed else "not-met",
    )


def _certificate(certified: Certified) -> Iterator[Step]:
    row = certified.certificate
    feed = f"{written(row.feed_g_per_day)} g of feed a day"
    yield Step(
        at=row.happened_at,
        recorded_at=row.recorded_at,
        by=row.by,
        sentence=f"Certified: {feed}.",
        note=f"Signed for: {row.meaning}",
        state="met" if certified.is_in_force else "not-met",
    )
    standing = certified.standing
    if isinstance(standing, Voided):
        yield Step(
            at=standing.at,
            recorded_at=standing.at,
            by=None,
            sentence=f"The certificate of {feed} became void.",
            note=standing.sentence,
            state="not-met",
        )
