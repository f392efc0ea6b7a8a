"""Reports that were kept, and those that should be."""

from datetime import datetime
from typing import Final
from uuid import UUID, uuid5

from django.db.models import QuerySet

from facility.models import KeptReport, Person, Site
from facility.rules.canonical import digest
from facility.rules.periods import KINDS, Period, due, past, period_of
from facility.sockets.reports import report_sources

_OFFERED: Final = {"WEEK": 8, "MONTH": 6}


def reports_seen_by(person: Person) -> QuerySet[KeptReport]:
    rows = KeptReport.objects.filter(site__in=Site.objects.open_to(person))
    return rows.select_related("site", "by")


def kept_at(site: Site) -> list[KeptReport]:
    """Everything kept, the latest period first; of one period the latest made first."""
    rows = KeptReport.objects.filter(site=site).select_related("site", "by").defer("content")
    return list(rows.order_by("-ends_on", "kind", "-made_at", "pk"))


def not_kept(site: Site, *, at: datetime) -> list[Period]:
    """Periods of which the house should have kept a report by now and has none."""
    known = set(KeptReport.objects.filter(site=site).values_list("kind", "begins_on"))
    return [
        period
        for kind in KINDS
        if kind in report_sources
        for period in due(kind, since=site.opened_at, at=at, zone=site.zone)
        if (period.kind, period.begins_on) not in known
    ]


def house_id(site_id: UUID, period: Period) -> UUID:
    """The id of the house's own report of a period: kept by two at once, it is one."""
    return uuid5(site_id, f"report {period.kind} {period.begins_on.isoformat()}")


def offered(site: Site, *, at: datetime) -> list[Period]:
    """Periods a person may keep a report of: the latest that are over."""
    return [
        period
        for kind in KINDS
        if kind in report_sources
        for period in past(kind, at=at, zone=site.zone, count=_OFFERED[kind])
    ]


def digest_now(report: KeptReport) -> str:
    """What the digest would be if the same report were made of the facts as they stand now."""
    period = period_of(report.kind, report.begins_on)
    return digest(report_sources[report.kind].compose(report.site, period))
