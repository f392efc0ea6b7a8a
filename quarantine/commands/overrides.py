"""Set one named stop of one dose aside: an act of its own, with role and reason."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from quarantine.commands.courses import course_for, record, require_open
from quarantine.commands.treatment_doses import GiveDose, weigh
from quarantine.models import Course, Override
from quarantine.rules.guard_facts import Stopped


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class NotStopped(Refusal):
    code = "not-stopped"
    field = "stop"


class StopIsFinal(Refusal):
    code = "stop-is-final"
    field = "stop"


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrideGuard:
    """The dose as it will be given by ``giver_id``, and the one ``stop`` that is set aside.

    It holds for that dose with that amount, as long as the stop says the same.
    """

    id: UUID
    dose_id: UUID
    giver_id: UUID
    stop: str
    why: str
    course_id: UUID
    container_id: UUID
    intent: str
    rise: Decimal
    amount: Decimal
    seen_members: frozenset[UUID]
    seen_litres: Decimal
    happened_at: datetime
    minutes: int | None = None


@transaction.atomic(durable=True)
def override_guard(command: OverrideGuard, *, by: Person, at: datetime) -> Override:
    """Keep who set the stop aside, in which role and why; the dose itself is given apart.

    Raises:
        NotFound, NotAllowed, IdTaken, CourseEnded, WhyMissing, NotStopped, StopIsFinal
    """
    course = course_for(by, command.course_id, deed="quarantine.override-guard")
    columns = _columns(command, course)
    if row := earlier(Override, command.id, columns | {"by_id": by.pk}):
        return row
    require_open(course, at=max(at, command.happened_at))
    if not columns["why"]:
        raise WhyMissing("Say why this dose is right all the same.")
    stopped = _stop(command, course)
    row = Override.objects.create(
        **columns,
        sentence=stopped.sentence[:_LONGEST],
        role=people.role_at(course.vessel.site, by) or "",
        happened_at=at,
        recorded_at=at,
        by=by,
    )
    record("quarantine.override-guard", row, course, by=by, at=at)
    return row


def dose_meant(command: OverrideGuard) -> GiveDose:
    """The dose that is to be given."""
    return GiveDose(
        id=command.dose_id,
        course_id=command.course_id,
        container_id=command.container_id,
        intent=command.intent,
        rise=command.rise,
        amount=command.amount,
        seen_members=command.seen_members,
        seen_litres=command.seen_litres,
        happened_at=command.happened_at,
        minutes=command.minutes,
    )


_MILLI: Final = Decimal("0.001")
_LONGEST: Final = 400


def _columns(command: OverrideGuard, course: Course) -> dict[str, Any]:
    return {
        "id": command.id,
        "vessel_id": course.vessel_id,
        "dose_id": command.dose_id,
        "container_id": command.container_id,
        "amount": command.amount.quantize(_MILLI),
        "stop": command.stop,
        "why": command.why.strip(),
    }


def _stop(command: OverrideGuard, course: Course) -> Stopped:
    """Find the stop among those that hold now."""
    if not Person.objects.filter(pk=command.giver_id, is_active=True).exists():
        raise NotFound("There is nobody of that number here.")
    found = weigh(dose_meant(command), course, giver=command.giver_id).stops
    stopped = next((one for one in found if one.code == command.stop), None)
    if stopped is None:
        raise NotStopped("The guard does not stop this dose for that; open the sheet anew.")
    if stopped.is_final:
        raise StopIsFinal(f"This is put right, not set aside. {stopped.sentence}")
    return stopped
