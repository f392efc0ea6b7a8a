"""The latest readings of many waters as alarm rules judge them, in one query."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import connection

from facility.models import Site
from facility.rules.wording import unit_and_basis
from tanks.models import Reading
from tanks.queries.readings import stays_in
from tanks.queries.waters import Water
from tanks.rules.alarms.known import Point
from tanks.rules.limits import Read
from tanks.rules.values import Interval, canonical

# Enough for two tests a day over the fortnight some rules look back.
_MOST: Final = 30
_OLDEST: Final = timedelta(days=30)
_LATEST: Final = """
SELECT stay.water, latest.id, latest.parameter, latest.happened_at, latest.qualifier, latest.value,
       latest.upper, latest.as_entered, latest.unit, latest.basis, method.kind, method.name,
       vessel.code
FROM unnest(%s::uuid[], %s::uuid[], %s::timestamptz[], %s::timestamptz[])
     AS stay(water, vessel, since, until)
CROSS JOIN unnest(%s::text[]) AS wanted(parameter)
CROSS JOIN LATERAL (
    SELECT reading.* FROM tanks_reading reading
    WHERE reading.vessel_id = stay.vessel AND reading.parameter = wanted.parameter
      AND reading.happened_at >= stay.since AND reading.happened_at < stay.until
      AND NOT reading.withdrawn
      AND NOT EXISTS (SELECT FROM tanks_reading later WHERE later.corrects_id = reading.id)
    ORDER BY reading.happened_at DESC, reading.recorded_at DESC, reading.id
    LIMIT %s
) latest
JOIN tanks_method method ON method.id = latest.method_id
JOIN tanks_vessel vessel ON vessel.id = stay.vessel
ORDER BY latest.happened_at, latest.recorded_at, latest.id
"""


@dataclass(frozen=True, slots=True)
class _Row:
    water: UUID
    id: UUID
    parameter: str
    happened_at: datetime
    qualifier: str
    value: Decimal
    upper: Decimal | None
    as_entered: str
    unit: str
    basis: str
    method_kind: str
    method_name: str
    code: str


def points_in(site: Site, waters: Sequence[Water]) -> dict[UUID, dict[str, tuple[Point, ...]]]:
    """By anchor and parameter, oldest first: readings taken while in that water, 30 days back."""
    found: dict[UUID, dict[str, list[Point]]] = {}
    for row in _rows(site, waters):
        found.setdefault(row.water, {}).setdefault(row.parameter, []).append(_point(row))
    return {
        water: {parameter: tuple(points) for parameter, points in by.items()}
        for water, by in found.items()
    }


def _rows(site: Site, waters: Sequence[Water]) -> Iterable[_Row]:
    until = {water.anchor.pk: water.at + timedelta.resolution for water in waters}
    if not waters:
        return []
    oldest = waters[0].at - _OLDEST
    stays = [
        (water, vessel, max(since, oldest), end)
        for water, vessel, since, end in stays_in(site, list(waters), until)
        if end > oldest
    ]
    columns: list[Any] = [list(column) for column in zip(*stays, strict=True)]
    with connection.cursor() as cursor:
        cursor.execute(_LATEST, [*columns, Reading.Parameter.values, _MOST])
        return [_Row(*row) for row in cursor.fetchall()]


def _point(row: _Row) -> Point:
    unit = unit_and_basis(row.unit, row.basis if row.unit != "pH" else "")
    value = float(row.value)
    return Point(
        keys=(f"tanks.reading:{row.id}",),
        code=row.code,
        qualifier=row.qualifier,
        entered=f"{row.as_entered} {unit}".strip(),
        method_name=row.method_name,
        read=Read(
            parameter=row.parameter,
            interval=canonical(
                row.parameter, row.qualifier, row.value, row.upper, row.unit, row.basis
            ),
            text=_text(row, unit),
            at=row.happened_at,
            method_kind=row.method_kind,
            ph_is_total=row.basis == "TOTAL",
            share=_share(row, value),
        ),
    )


def _text(row: _Row, unit: str) -> str:
    if row.unit == "pH":
        return row.as_entered + (" (total scale)" if row.basis == "TOTAL" else "")
    return f"{row.as_entered} {unit}"


def _share(row: _Row, value: float) -> Interval | None:
    if row.unit != "%":
        return None
    return Interval(value, value if row.upper is None else float(row.upper))
