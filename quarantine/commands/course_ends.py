"""A course comes to its end: cleared when its days are reached, or abandoned and why."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.courses import CourseEnded, course_for, record, require_since
from quarantine.models import CourseStep
from quarantine.queries.course_events import edges
from quarantine.queries.courses import CourseStanding, standing
from quarantine.rules.clearing import Clearing, unclear


class ClockNotReached(Refusal):
    code = "clock-not-reached"


class NotClear(Refusal):
    code = "not-clear"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginClearance:
    """The days are reached: the agent is taken out from now on."""

    id: UUID
    course_id: UUID
    happened_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ConfirmClear:
    """The end level was read; ``note`` says what was done where the agent cannot be read."""

    id: UUID
    course_id: UUID
    happened_at: datetime
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AbandonCourse:
    """Stops it before its days are reached; ``note`` is the reason. It still has to be cleared."""

    id: UUID
    course_id: UUID
    happened_at: datetime
    note: str


@transaction.atomic(durable=True)
def begin_clearance(command: BeginClearance, *, by: Person, at: datetime) -> CourseStep:
    """Say that the agent is being taken out.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, CourseEnded, ClockNotReached
    """
    return _step(command, "CLEARING", "quarantine.begin-clearance", by=by, at=at)


@transaction.atomic(durable=True)
def confirm_clear(command: ConfirmClear, *, by: Person, at: datetime) -> CourseStep:
    """Say that the end level is reached; an abandoned course is cleared as any other.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, CourseEnded, NotClear
    """
    return _step(command, "CLEARED", "quarantine.confirm-clear", by=by, at=at)


@transaction.atomic(durable=True)
def abandon_course(command: AbandonCourse, *, by: Person, at: datetime) -> CourseStep:
    """Give a course up, with the reason.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, CourseEnded, ReasonMissing
    """
    return _step(command, "ABANDONED", "quarantine.abandon-course", by=by, at=at)


def _step(command: Any, kind: str, deed: str, *, by: Person, at: datetime) -> CourseStep:
    course = course_for(by, command.course_id, deed=deed)
    columns = asdict(command) | {"note": command.note.strip(), "kind": kind}
    if step := earlier(CourseStep, command.id, columns):
        return step
    require_past(command.happened_at, at=at)
    require_since(course, command.happened_at)
    stands = standing(course, at=max(at, command.happened_at))
    _REQUIRES[kind](stands, columns["note"])
    step = CourseStep.objects.create(**columns, recorded_at=at, by=by)
    record(deed, step, course, by=by, at=at)
    return step


def _may_clear(stands: CourseStanding, _: str) -> None:
    if not stands.is_open or stands.is_clearing:
        raise CourseEnded(stands.sentence)
    if not stands.is_reached:
        raise ClockNotReached(
            f"The clock counts {stands.therapeutic_days:.1f} of {stands.course.clock_days} days. "
            "Go on, or abandon the course and say why."
        )


def _is_clear(stands: CourseStanding, note: str) -> None:
    if stands.is_cleared:
        raise CourseEnded(stands.sentence)
    if stands.is_open and not stands.is_clearing:
        raise NotClear("Say first that the days are reached and clearing begins.")
    if why := unclear(_clearing(stands), note=note):
        raise NotClear(why)


def _may_abandon(stands: CourseStanding, note: str) -> None:
    if not stands.is_open:
        raise CourseEnded(stands.sentence)
    if not note:
        raise ReasonMissing("Say in a few words why the course is abandoned.")


_REQUIRES: Final = {"CLEARING": _may_clear, "CLEARED": _is_clear, "ABANDONED": _may_abandon}


def _clearing(stands: CourseStanding) -> Clearing:
    agent, read = stands.course.agent, stands.read_since_dose
    below = agent.clear_below
    return Clearing(
        unit=agent.unit,
        clear_below=None if below is None else float(below),
        is_read=agent.is_read,
        was_given=stands.last_dose_at is not None,
        is_bath_running=stands.running_bath is not None,
        read_high=None if read is None else edges(read)[1],
    )
