"""Read how much of the agent is in the water."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.courses import course_for, record, require_since
from quarantine.models import LevelReading
from tanks.rules.entries import Entered, Unreadable, parse_entry


class UnreadableLevel(Refusal):
    code = "unreadable-level"
    field = "text"


class OverRange(Refusal):
    code = "over-range"
    field = "text"


class MethodMissing(Refusal):
    code = "method-missing"
    field = "method"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "reason"


class CorrectedBefore(Refusal):
    code = "corrected-before"
    field = "corrects_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLevel:
    """``text`` as the test shows it: ``0.16``, ``<0.05``, ``0.15-0.20``; in the agent's unit.

    ``corrects_id`` names an earlier reading of the course that was wrong, with the ``reason``.
    """

    id: UUID
    course_id: UUID
    text: str
    method: str
    happened_at: datetime
    corrects_id: UUID | None = None
    reason: str = ""


@transaction.atomic(durable=True)
def read_level(command: ReadLevel, *, by: Person, at: datetime) -> LevelReading:
    """Keep a reading of the agent; the clock is run anew from all that are held true.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, UnreadableLevel, OverRange,
        MethodMissing, ReasonMissing, CorrectedBefore
    """
    course = course_for(by, command.course_id, deed="quarantine.read-level")
    columns = _columns(command)
    if row := earlier(LevelReading, command.id, columns):
        return row
    require_past(command.happened_at, at=at)
    require_since(course, command.happened_at)
    if not columns["method"]:
        raise MethodMissing("Say which test it was read with.")
    _require_correction(command)
    row = LevelReading.objects.create(**columns, recorded_at=at, by=by)
    record("quarantine.read-level", row, course, by=by, at=at)
    return row


_STEP: Final = Decimal("0.0001")


def _columns(command: ReadLevel) -> dict[str, Any]:
    entered = _entered(command.text)
    return {
        "id": command.id,
        "course_id": command.course_id,
        "value": entered.value.quantize(_STEP),
        "upper": None if entered.upper is None else entered.upper.quantize(_STEP),
        "is_below": entered.qualifier == "BELOW",
        "method": command.method.strip(),
        "happened_at": command.happened_at,
        "corrects_id": command.corrects_id,
        "reason": command.reason.strip(),
    }


def _entered(text: str) -> Entered:
    try:
        entered = parse_entry(text)
    except Unreadable as error:
        raise UnreadableLevel(str(error)) from error
    if entered.value < 0:
        raise UnreadableLevel("A level cannot be below 0; write <0.05 if the test shows nothing.")
    if entered.qualifier == "ABOVE":
        raise OverRange(
            "Over range: mix the sample with clean water one to one, read again, double the figure."
        )
    return entered


def _require_correction(command: ReadLevel) -> None:
    if command.corrects_id is None:
        if command.reason.strip():
            raise ReasonMissing("A reason belongs to a correction: name the reading it corrects.")
        return
    rows = LevelReading.objects.filter(course=command.course_id, pk=command.corrects_id)
    if not rows.filter(correction=None).exists():
        raise CorrectedBefore("That reading was corrected before, or is none of this course.")
    if not command.reason.strip():
        raise ReasonMissing("Say in a few words why, such as: misread the second digit.")
