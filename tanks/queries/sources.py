"""What was read of the source waters of a site."""

from datetime import datetime, timedelta
from typing import Final

from facility.models import Site
from facility.rules.wording import unit_and_basis
from tanks.models import SourceReading
from tanks.rules.alarms.known import Point
from tanks.rules.limits import Read

_OLDEST: Final = timedelta(days=31)


def source_readings(site: Site, *, at: datetime) -> list[SourceReading]:
    """Of the last 31 days, oldest first."""
    rows = SourceReading.objects.current().filter(
        site=site, happened_at__gt=at - _OLDEST, happened_at__lte=at
    )
    return list(rows.select_related("method", "by").order_by("happened_at", "recorded_at", "pk"))


def source_points(site: Site, *, at: datetime) -> tuple[Point, ...]:
    """The same, as alarm rules judge them."""
    return tuple(_point(row) for row in source_readings(site, at=at))


def source_names(site: Site) -> list[str]:
    """As they were called before, so that one water keeps one name."""
    rows = SourceReading.objects.filter(site=site).order_by("source")
    return list(rows.values_list("source", flat=True).distinct())


def said(row: SourceReading) -> str:
    """The value with its unit and basis; pH has a scale instead."""
    unit = unit_and_basis(row.unit, row.basis) if row.unit != "pH" else ""
    return f"{row.as_entered} {unit}".strip()


def _point(row: SourceReading) -> Point:
    text = said(row)
    return Point(
        keys=(f"tanks.sourcereading:{row.pk}",),
        code=row.source,
        entered=text,
        qualifier=row.qualifier,
        method_name=row.method.name,
        read=Read(
            parameter=row.parameter,
            interval=row.interval,
            text=text,
            at=row.happened_at,
            method_kind=row.method.kind,
            ph_is_total=row.basis == "TOTAL",
        ),
    )
