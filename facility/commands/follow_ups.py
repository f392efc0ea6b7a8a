"""The house asks for what an event makes necessary."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import take_turn
from facility.commands.work import RaiseTask, added_task
from facility.models import Entry, Person, Task
from facility.refusals import NotFound
from facility.sockets.follow_ups import FollowUp, follow_ups
from facility.sockets.subjects import Place, place_of

_LONGEST_TITLE: Final = 160


@dataclass(frozen=True, slots=True, kw_only=True)
class RaiseFollowUps:
    """``entry_id`` is the ledger line of the event."""

    entry_id: int


@transaction.atomic(durable=True)
def raise_follow_ups(command: RaiseFollowUps, *, by: Person | None, at: datetime) -> list[Task]:
    """Raise what follows a line, once; a line that nothing follows leaves none of its own.

    Raises:
        NotFound
    """
    entry = Entry.objects.select_related("site").filter(pk=command.entry_id).first()
    if entry is None:
        raise NotFound("There is no such line in the ledger.")
    take_turn(entry.site)
    place = place_of(entry.about)
    wanted = _wanted(entry, place) if place else []
    known = set(Task.objects.filter(pk__in=[one.id for one in wanted]).values_list("pk", flat=True))
    new = [one for one in wanted if one.id not in known]
    tasks = [added_task(one, site=entry.site, at=at) for one in new]
    if tasks:
        ledger.record(
            "facility.raise-follow-ups",
            tasks,
            about=entry,
            site=entry.site,
            by=by,
            happened_at=at,
            recorded_at=at,
        )
    return tasks


def _wanted(entry: Entry, place: Place) -> list[RaiseTask]:
    return [
        _asked(entry, place, one, span)
        for one in follow_ups
        if one.follows(entry.kind, entry.facts)
        for span in one.after
    ]


def _asked(entry: Entry, place: Place, one: FollowUp, span: timedelta) -> RaiseTask:
    due_at = entry.happened_at + span
    return RaiseTask(
        id=uuid5(entry.site_id, f"{entry.number} {one.name} {span.total_seconds():.0f}"),
        site_id=entry.site_id,
        kind=one.kind,
        title=one.title.format(place=place.name)[:_LONGEST_TITLE],
        why=one.why.format(place=place.name),
        about=place.stands_for or entry.about,
        opens_at=max(due_at - one.opens_before, entry.happened_at),
        due_at=due_at,
        late_at=due_at + one.late_after,
        minutes=one.minutes,
        asks=dict(one.asks),
        raised_by=f"facility.entry:{entry.pk}",
    )
