"""Log readings; correct one. What was first entered always stays."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import IdTaken, NotFound, Refusal
from tanks.commands.entering import CorrectedBefore as CorrectedBefore
from tanks.commands.entering import ImpossibleValue as ImpossibleValue
from tanks.commands.entering import OffMethodRange as OffMethodRange
from tanks.commands.entering import ReasonMissing as ReasonMissing
from tanks.commands.entering import UnknownMethod as UnknownMethod
from tanks.commands.entering import UnknownUnit as UnknownUnit
from tanks.commands.entering import UnreadableValue as UnreadableValue
from tanks.commands.entering import method_for, methods_of, reason_of, require_standing, row_of
from tanks.commands.entering import reach_of as reach_of
from tanks.commands.finding import require_in_use, vessel_for
from tanks.models import Reading, Vessel
from tanks.queries import readings
from tanks.rules.plausibility import surprising
from tanks.rules.values import PARAMETERS


class NothingRead(Refusal):
    code = "nothing-read"
    field = "readings"


class SurprisingValue(Refusal):
    """Asked once: the same command with these ids in ``confirmed`` is accepted.

    ``sentences`` says of each reading, by id, what is unexpected about it.
    """

    code = "surprising-value"
    field = "readings"

    def __init__(self, sentences: Mapping[UUID, str]) -> None:
        super().__init__(" ".join(sentences.values()))
        self.sentences = dict(sentences)
        self.asks = tuple(str(each) for each in sentences)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken:
    """One value as it was written: ``0.5``, ``<0.25``, ``>5`` or ``10-20``."""

    id: UUID
    parameter: str
    method_id: UUID
    text: str
    unit: str
    basis: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogReadings:
    """Readings of one sample, taken from ``vessel_id`` at ``happened_at``; ``id`` is the sample's.

    ``confirmed`` holds ids of readings that surprised and are right.
    """

    id: UUID
    vessel_id: UUID
    happened_at: datetime
    readings: tuple[ReadingTaken, ...]
    confirmed: frozenset[UUID] = field(default=frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectReading:
    """``id`` is the new reading's, which takes the place of ``reading_id``."""

    id: UUID
    reading_id: UUID
    text: str
    unit: str
    basis: str = ""
    method_id: UUID
    reason: str


@transaction.atomic(durable=True)
def log_readings(command: LogReadings, *, by: Person, at: datetime) -> tuple[Reading, ...]:
    """Keep the readings of one sample, all or none.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NothingRead,
        UnreadableValue, UnknownUnit, UnknownMethod, ImpossibleValue, OffMethodRange,
        SurprisingValue
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.log-readings")
    if delivered := _delivered(command):
        return delivered
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    rows = _rows(command, vessel, by=by, at=at)
    _settle_surprises(rows, command, vessel)
    Reading.objects.bulk_create(rows)
    ledger.record(
        "tanks.log-readings",
        rows,
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return rows


@transaction.atomic(durable=True)
def correct_reading(command: CorrectReading, *, by: Person, at: datetime) -> Reading:
    """Put a new value in the place of an earlier one, which stays to be seen.

    Raises:
        NotFound, NotAllowed, IdTaken, ReasonMissing, CorrectedBefore, UnreadableValue,
        UnknownUnit, UnknownMethod, ImpossibleValue, OffMethodRange
    """
    first = Reading.objects.filter(pk=command.reading_id).first()
    if first is None:
        raise NotFound("There is no such reading here.")
    vessel = vessel_for(by, first.vessel_id, deed="tanks.correct-reading")
    if again := earlier(Reading, command.id, _said(command)):
        return again
    require_standing(first)
    row = _correction(command, first, vessel, by=by, at=at)
    row.save(force_insert=True)
    ledger.record(
        "tanks.correct-reading",
        [row],
        about=vessel,
        site=vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
        first=first.as_entered,
    )
    return row


def _delivered(command: LogReadings) -> tuple[Reading, ...]:
    """Return the rows of an earlier delivery of the same sample."""
    ids = [taken.id for taken in command.readings]
    if len(set(ids)) < len(ids):
        raise IdTaken("Two of these readings bear one id; give each its own.")
    first = Reading.objects.filter(sample=command.id, corrects=None).order_by("pk")
    kept = tuple(first) or tuple(Reading.objects.filter(pk__in=ids))
    if kept and not _same(kept, command):
        raise IdTaken("This sample was saved before with other values; correct the entry instead.")
    return kept


def _same(kept: Iterable[Reading], command: LogReadings) -> bool:
    rows = {
        (
            row.sample,
            row.vessel_id,
            row.happened_at,
            row.pk,
            row.parameter,
            row.method_id,
            row.as_entered,
            row.unit,
            row.basis,
        )
        for row in kept
    }
    return rows == {
        (
            command.id,
            command.vessel_id,
            command.happened_at,
            taken.id,
            taken.parameter,
            taken.method_id,
            taken.text.strip(),
            taken.unit,
            taken.basis,
        )
        for taken in command.readings
    }


def _rows(command: LogReadings, vessel: Vessel, *, by: Person, at: datetime) -> tuple[Reading, ...]:
    if not command.readings:
        raise NothingRead("Write at least one value.")
    methods = methods_of(vessel, {taken.method_id for taken in command.readings})
    rows = []
    for taken in command.readings:
        method = method_for(methods, taken.method_id, taken.id, taken.parameter)
        row = row_of(taken, parameter=taken.parameter, method=method, vessel=vessel)
        row.sample, row.happened_at = command.id, command.happened_at
        row.recorded_at, row.by = at, by
        rows.append(row)
    return tuple(rows)


def _settle_surprises(rows: Iterable[Reading], command: LogReadings, vessel: Vessel) -> None:
    """Mark what surprised and was confirmed; ask about what was not."""
    latest = readings.latest_before(vessel, at=command.happened_at)
    questions = {}
    for row in rows:
        sentence = _surprise(row, latest.get(row.parameter))
        if sentence and row.pk not in command.confirmed:
            questions[row.pk] = f"{PARAMETERS[row.parameter]} {row.as_entered}: {sentence}"
        row.surprise_confirmed = sentence is not None
    if questions:
        raise SurprisingValue(questions)


def _surprise(row: Reading, latest: Reading | None) -> str | None:
    return surprising(
        row.parameter,
        row.interval,
        latest=latest.interval if latest else None,
        read=latest.as_entered if latest else "",
        after=row.happened_at - (latest.happened_at if latest else row.happened_at),
    )


def _said(command: CorrectReading) -> dict[str, Any]:
    return {
        "corrects_id": command.reading_id,
        "method_id": command.method_id,
        "as_entered": command.text.strip(),
        "unit": command.unit,
        "basis": command.basis,
        "reason": command.reason.strip(),
    }


def _correction(
    command: CorrectReading, first: Reading, vessel: Vessel, *, by: Person, at: datetime
) -> Reading:
    methods = methods_of(vessel, {command.method_id})
    method = method_for(methods, command.method_id, command.id, first.parameter)
    row = row_of(command, parameter=first.parameter, method=method, vessel=vessel)
    row.corrects, row.reason = first, reason_of(command.reason)
    row.sample, row.happened_at = first.sample, first.happened_at
    row.recorded_at, row.by = at, by
    return row
