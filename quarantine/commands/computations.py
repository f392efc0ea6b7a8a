"""A second person works a dose out alone."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.db import transaction

from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import Refusal
from quarantine.commands.courses import course_for, record, require_open, require_since
from quarantine.commands.treatment_doses import container_of
from quarantine.models import SecondComputation


class FigureNotPositive(Refusal):
    code = "figure-not-positive"

    def __init__(self, sentence: str, *, name: str) -> None:
        super().__init__(sentence)
        self.field = name


@dataclass(frozen=True, slots=True, kw_only=True)
class ComputeDose:
    """Their own ``litres``, read off the water, and their own ``amount`` in g or mL."""

    id: UUID
    course_id: UUID
    container_id: UUID
    rise: Decimal
    litres: Decimal
    amount: Decimal
    happened_at: datetime


@transaction.atomic(durable=True)
def compute_dose(command: ComputeDose, *, by: Person, at: datetime) -> SecondComputation:
    """Keep a computation; whether it agrees is judged when the dose is given.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, BeforeCourse, CourseEnded, FigureNotPositive
    """
    course = course_for(by, command.course_id, deed="quarantine.compute-dose")
    columns = asdict(command)
    for name, step in _STEPS.items():
        columns[name] = columns[name].quantize(step)
    if row := earlier(SecondComputation, command.id, columns):
        return row
    require_past(command.happened_at, at=at)
    require_since(course, command.happened_at)
    require_open(course, at=max(at, command.happened_at))
    container_of(course, command.container_id)
    for name in _STEPS:
        if columns[name] <= 0:
            raise FigureNotPositive("Write a figure above 0.", name=name)
    row = SecondComputation.objects.create(**columns, recorded_at=at, by=by)
    record("quarantine.compute-dose", row, course, by=by, at=at)
    return row


_STEPS: Final = {
    "rise": Decimal("0.0001"),
    "litres": Decimal("0.01"),
    "amount": Decimal("0.001"),
}
