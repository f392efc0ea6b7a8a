"""What is read of a source water, before it is used."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from tanks.commands.entering import measured, method_for, reason_of, require_standing
from tanks.commands.finding import site_for
from tanks.models import Method, SourceReading


class SourceUnnamed(Refusal):
    code = "source-unnamed"
    field = "source"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSourceReading:
    """One value of a water not yet used; ``corrects_id`` names one it takes the place of."""

    id: UUID
    site_id: UUID
    source: str
    parameter: str
    method_id: UUID
    text: str
    unit: str
    basis: str = ""
    happened_at: datetime
    corrects_id: UUID | None = None
    reason: str = ""


@transaction.atomic(durable=True)
def log_source_reading(command: LogSourceReading, *, by: Person, at: datetime) -> SourceReading:
    """Keep one value of a source water.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, SourceUnnamed, UnknownMethod,
        UnreadableValue, UnknownUnit, ImpossibleValue, OffMethodRange, ReasonMissing,
        CorrectedBefore
    """
    site = site_for(by, command.site_id, deed="tanks.log-source-reading")
    told = _told(command)
    if row := earlier(SourceReading, command.id, told):
        return row
    require_past(command.happened_at, at=at)
    if not told["source"]:
        raise SourceUnnamed("Say which water it is, such as mains, mixing station or RO.")
    row = SourceReading(id=command.id, recorded_at=at, by=by, **told, **_value(command, site))
    row.corrects = _corrected(command, site)
    row.save(force_insert=True)
    ledger.record(
        "tanks.log-source-reading",
        [row],
        about=site,
        site=site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return row


def _told(command: LogSourceReading) -> dict[str, Any]:
    """Columns as the command says them; ``corrects`` is looked up besides."""
    return {
        "site_id": command.site_id,
        "source": command.source.strip(),
        "parameter": command.parameter,
        "method_id": command.method_id,
        "as_entered": command.text.strip(),
        "unit": command.unit,
        "basis": command.basis,
        "happened_at": command.happened_at,
        "reason": reason_of(command.reason) if command.corrects_id else "",
    }


def _value(command: LogSourceReading, site: Site) -> dict[str, Any]:
    methods = Method.objects.filter(site=site, retired_at=None).in_bulk([command.method_id])
    method = method_for(methods, command.method_id, command.id, command.parameter)
    entered = measured(command, method, command.parameter).entered
    # With the column's decimals, so that the ledger sees the value as it is kept.
    return {
        "qualifier": entered.qualifier,
        "value": round(entered.value, 4),
        "upper": None if entered.upper is None else round(entered.upper, 4),
    }


def _corrected(command: LogSourceReading, site: Site) -> SourceReading | None:
    if command.corrects_id is None:
        return None
    rows = SourceReading.objects.filter(site=site, pk=command.corrects_id)
    first: SourceReading | None = rows.first()
    if first is None:
        raise NotFound("There is no such reading here.")
    require_standing(first)
    return first
