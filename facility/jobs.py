"""The house's own work in the background: asking for what is due, proving it, calling people."""

import logging
import time as clock
from datetime import UTC, datetime, time, timedelta
from typing import Any, Final
from uuid import UUID

from celery import shared_task
from django.db import InterfaceError
from django.db import OperationalError as DatabaseAway
from kombu.exceptions import OperationalError

from facility.commands.escalation import EscalateAlert, escalate_alert
from facility.commands.evidence import answer_by_evidence
from facility.commands.follow_ups import RaiseFollowUps, raise_follow_ups
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.commands.reports import KeepReport, keep_report
from facility.commands.sending import send_next
from facility.models import Entry, Site, Task
from facility.queries.evidence import lately
from facility.queries.notices import step_due, unaccepted
from facility.queries.reports import house_id, not_kept
from facility.refusals import Refusal
from facility.sockets.follow_ups import follow_ups

DAYS_AHEAD: Final = 2
# What was left undone by a process that died is found again within this time.
_LOOKS_BACK: Final = timedelta(hours=24)
_EVIDENCE_LOOKS_BACK: Final = timedelta(minutes=20)
_SENDS_FOR_S: Final = 60
_RETRIED: Final[dict[str, Any]] = {
    "autoretry_for": (DatabaseAway, InterfaceError),
    "retry_backoff": 5,
    "retry_backoff_max": 300,
    "max_retries": 8,
}
_log: Final = logging.getLogger(__name__)


@shared_task(name="facility.raise-tasks", **_RETRIED)
def raise_what_is_due() -> None:
    """Raise the duties of every site up to the day after tomorrow; then see to what was missed."""
    now = datetime.now(UTC)
    for site in Site.objects.order_by("name", "pk"):
        raise_tasks(RaiseTasks(site_id=site.pk, until=horizon(site, now)), by=None, at=now)
        catch_up(site, now)


@shared_task(name="facility.send-notices", **_RETRIED)
def send_notices() -> None:
    """Send what waits, for a minute at most; the rest is taken by the next run or another worker.

    A channel that fails is left alone for the rest of the run, so that the others are not kept.
    """
    until, failed = clock.monotonic() + _SENDS_FOR_S, set[UUID]()
    while clock.monotonic() < until:
        notice = send_next(at=datetime.now(UTC), passing_over=failed)
        if notice is None:
            return
        if notice.next_try_at is not None:
            failed.add(notice.channel_id)


@shared_task(name="facility.escalate-alerts", **_RETRIED)
def escalate_alerts() -> None:
    """Call the next person about what nobody has accepted in time."""
    now = datetime.now(UTC)
    for alert in unaccepted():
        if step_due(alert, at=now) is not None:
            escalate_alert(EscalateAlert(alert_id=alert.pk), by=None, at=now)


@shared_task(name="facility.keep-reports", **_RETRIED)
def keep_reports() -> None:
    """Keep the report of every week and month that is over and has none, at every site."""
    now = datetime.now(UTC)
    for site in Site.objects.order_by("name", "pk"):
        keep_reports_of(site, at=now)


def keep_reports_of(site: Site, *, at: datetime) -> None:
    """Keep what the clock of the site says is due, and what was missed while nobody kept it."""
    for period in not_kept(site, at=at):
        command = KeepReport(
            id=house_id(site.pk, period),
            site_id=site.pk,
            kind=period.kind,
            begins_on=period.begins_on,
        )
        keep_report(command, by=None, at=at)


def horizon(site: Site, now: datetime) -> datetime:
    """The end of tomorrow by the site's clock, so that a shift finds its whole next day."""
    day = now.astimezone(site.zone).date() + timedelta(days=DAYS_AHEAD)
    return datetime.combine(day, time.min, tzinfo=site.zone)


def catch_up(site: Site, now: datetime) -> None:
    """See to lines whose consequences died with the process that wrote them."""
    lines = lately(site, since=now - _LOOKS_BACK)
    events = {one.of for one in follow_ups}
    for line in lines:
        if line.kind in events:
            _follow_up(line, now)
    late = [line for line in lines if line.recorded_at >= now - _EVIDENCE_LOOKS_BACK]
    for about in dict.fromkeys(line.about for line in late):
        answer_by_evidence(about, at=now)


def follow(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """After a line: raise what follows from it and answer what it proves.

    Done at once and not by a worker: whoever recorded it looks at the list next, and it takes
    milliseconds. What fails here is caught up by the next run of ``raise_what_is_due``.
    """
    now = datetime.now(UTC)
    line = Entry.objects.filter(about=about, kind=kind).order_by("-number").first()
    if line is not None and any(one.of == kind for one in follow_ups):
        _follow_up(line, now)
    answer_by_evidence(about, at=now)


def send_soon(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """Ask a worker to send; when none can be asked, the clock's next run sends."""
    try:
        send_notices.apply_async(retry=False)
    except (OperationalError, OSError) as fault:
        _log.warning("Sending could not be asked for: %s", fault)


def follow_answer(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """After an answer: what waited for it may have been proven meanwhile."""
    now = datetime.now(UTC)
    followers = Task.objects.filter(goes_after=UUID(about.partition(":")[2]))
    for subject in set(followers.values_list("about", flat=True)):
        answer_by_evidence(subject, at=now)


def _follow_up(line: Entry, now: datetime) -> None:
    try:
        raise_follow_ups(RaiseFollowUps(entry_id=line.pk), by=None, at=now)
    except Refusal as refusal:
        _log.warning("Nothing follows line %s: %s", line.pk, refusal.sentence)
