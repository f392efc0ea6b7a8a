"""Keep the report of a week or a month as the facts stand now; what was kept stays."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import KeptReport, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.calendar import OFF_CALENDAR, is_on_calendar
from facility.rules.canonical import digest
from facility.rules.periods import Period, period_of
from facility.sockets.reports import report_sources


class UnknownReport(Refusal):
    code = "unknown-report"
    field = "kind"


class PeriodAskew(Refusal):
    code = "period-askew"
    field = "begins_on"


class PeriodNotOver(Refusal):
    code = "period-not-over"
    field = "begins_on"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepReport:
    """``kind`` is WEEK, beginning on a Monday, or MONTH, beginning on its first day."""

    id: UUID
    site_id: UUID
    kind: str
    begins_on: date


@transaction.atomic(durable=True)
def keep_report(command: KeepReport, *, by: Person | None, at: datetime) -> KeptReport:
    """Keep a report once for each content; asked for by nobody, the house itself keeps it.

    Raises:
        NotFound, NotAllowed, IdTaken, UnknownReport, PeriodAskew, PeriodNotOver
    """
    site = _site_for(by, command.site_id)
    said = {"site_id": site.pk, "kind": command.kind, "begins_on": command.begins_on}
    if delivered := earlier(KeptReport, command.id, said):
        return delivered
    period = _period(command, site, at)
    content = report_sources[command.kind].compose(site, period)
    mark = digest(content)
    if same := KeptReport.objects.filter(**said, digest=mark).first():
        return same
    report = KeptReport.objects.create(
        id=command.id,
        **said,
        ends_on=period.ends_on,
        content=content,
        digest=mark,
        made_at=at,
        by=by,
    )
    ledger.record(
        "facility.keep-report",
        [report],
        about=report,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return report


def _site_for(by: Person | None, site_id: UUID) -> Site:
    known = Site.objects.open_to(by) if by else Site.objects.all()
    site = known.filter(pk=site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    if by is not None:
        people.require(by, "facility.keep-report", site)
    take_turn(site)
    return site


def _period(command: KeepReport, site: Site, at: datetime) -> Period:
    if command.kind not in report_sources:
        raise UnknownReport("Choose the report of a week or of a month.")
    if not is_on_calendar(command.begins_on.year):
        raise PeriodAskew(OFF_CALENDAR)
    period = period_of(command.kind, command.begins_on)
    if period.begins_on != command.begins_on:
        raise PeriodAskew("A week begins on a Monday, a month on its first day.")
    if not period.is_over(at=at, zone=site.zone):
        raise PeriodNotOver("This period is not over yet; its report is kept when it is.")
    return period
