"""The house asks for what its duties bring round: missed hours are caught up, twice is once."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db import transaction
from django.db.models import Exists, OuterRef, Q

from facility.commands import ledger
from facility.commands.deliveries import take_turn
from facility.models import Duty, Entry, Person, Site, Task
from facility.refusals import NotFound
from facility.rules.canonical import plain
from facility.rules.raising import Occurrence, Recurring, occurrences
from facility.rules.recurrence import Rhythm

_KIND: Final = "facility.raise-tasks"
_AT_ONCE: Final = 1000
_COPIED: Final = (
    "site_id",
    "area_id",
    "kind",
    "title",
    "why",
    "about",
    "asks",
    "minutes",
    "skill",
    "hygiene_rank",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RaiseTasks:
    """Everything that falls due up to ``until``."""

    site_id: UUID
    until: datetime


@transaction.atomic(durable=True)
def raise_tasks(command: RaiseTasks, *, by: Person | None, at: datetime) -> list[Task]:
    """Raise what is due since the last time and not raised yet; nothing new leaves no line.

    The line names each task by its duty and moment: all else in it is the duty's, and a
    thousand systems would fill the ledger with copies.

    Raises:
        NotFound
    """
    site = Site.objects.filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    take_turn(site)
    since = _raised_until(site)
    duties = {duty.pk: duty for duty in _duties(site, since)}
    recurring = [_recurring(duty, since, command.until) for duty in duties.values()]
    new = _unknown(list(occurrences(recurring, site.zone)))
    if not new:
        return []
    links = _known(one.goes_after for one in new) | {one.id for one in new}
    tasks = [_task(one, duties[one.duty], links, at) for one in new]
    Task.objects.bulk_create(tasks, batch_size=_AT_ONCE)
    ledger.record(
        _KIND,
        [],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
        until=plain(command.until),
        raised=plain(_by_duty(tasks)),
    )
    return tasks


def _raised_until(site: Site) -> datetime | None:
    """Up to when the site's duties were last raised."""
    line = Entry.objects.filter(site=site, kind=_KIND).order_by("-number").first()
    return datetime.fromisoformat(line.facts["until"]) if line else None


def _duties(site: Site, since: datetime | None) -> Iterable[Duty]:
    """Those in force, and those ended since: what fell due before their end still was."""
    in_force = Q(ended_at=None)
    if since is not None:
        in_force |= Q(ended_at__gt=since)
    tasks = Task.objects.filter(duty=OuterRef("pk"))
    rows = Duty.objects.filter(in_force, site=site).order_by("pk")
    return rows.annotate(was_raised=Exists(tasks))


def _recurring(duty: Duty, since: datetime | None, until: datetime) -> Recurring:
    """A duty nobody has raised yet counts from when it was set, whatever was raised before."""
    was_raised = bool(getattr(duty, "was_raised", False))
    return Recurring(
        duty=duty.pk,
        rhythm=Rhythm(rule=duty.rule, begins_on=duty.begins_on, begins_at=duty.at),
        opens_before=timedelta(minutes=duty.opens_before_minutes),
        late_after=timedelta(minutes=duty.late_after_minutes),
        goes_after=duty.goes_after_id,
        since=max(since, duty.set_at) if since and was_raised else duty.set_at,
        until=min(until, duty.ended_at) if duty.ended_at else until,
    )


def _unknown(wanted: list[Occurrence]) -> list[Occurrence]:
    known = _known(one.id for one in wanted)
    return [one for one in wanted if one.id not in known]


def _known(ids: Iterable[UUID | None]) -> set[UUID]:
    wanted = {id_ for id_ in ids if id_ is not None}
    return set(Task.objects.filter(pk__in=wanted).values_list("pk", flat=True)) if wanted else set()


def _task(one: Occurrence, duty: Duty, links: set[UUID], at: datetime) -> Task:
    return Task(
        id=one.id,
        duty=duty,
        opens_at=one.opens_at,
        due_at=one.due_at,
        late_at=one.late_at,
        goes_after_id=one.goes_after if one.goes_after in links else None,
        raised_at=at,
        **{column: getattr(duty, column) for column in _COPIED},
    )


def _by_duty(tasks: Iterable[Task]) -> dict[str, list[datetime]]:
    raised: dict[str, list[datetime]] = defaultdict(list)
    for task in tasks:
        raised[str(task.duty_id)].append(task.due_at)
    return dict(raised)
