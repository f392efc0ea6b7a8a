"""Tests that have fallen due in the tanks of a site and that nobody did or answered."""

from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db.models import OuterRef, Q, QuerySet, Subquery

from facility.models import Site, Task, WorkKind
from tanks.rules.alarms.known import DueTest

_KINDS: Final = (WorkKind.TEST, WorkKind.RETEST)
_OLDEST: Final = timedelta(days=31)
_SHORTEST: Final = timedelta(hours=1)


def due_tests_in(site: Site, *, at: datetime) -> dict[UUID, list[DueTest]]:
    """By vessel; of a duty only its latest turn, which stands for those before it."""
    fallen = Task.objects.filter(
        site=site, kind__in=_KINDS, due_at__gt=at - _OLDEST, due_at__lte=at
    ).exclude(duty__ended_at__lte=at)
    turns = fallen.filter(duty__isnull=False).order_by("duty_id", "-due_at", "pk")
    latest = turns.distinct("duty_id").values("pk")
    wanted = fallen.filter(Q(pk__in=latest) | Q(duty=None))
    found: dict[UUID, list[DueTest]] = {}
    for task, before in _undone(wanted):
        table, _, key = task.about.partition(":")
        if table == "tanks.vessel":
            found.setdefault(UUID(key), []).append(_test(task, before))
    return found


def _undone(rows: QuerySet[Task]) -> list[tuple[Task, datetime | None]]:
    """Each with when the same duty fell due before."""
    earlier = Task.objects.filter(duty=OuterRef("duty"), due_at__lt=OuterRef("due_at"))
    previous = Subquery(earlier.order_by("-due_at").values("due_at")[:1])
    undone = Task.objects.filter(pk__in=rows.values("pk")).undone().annotate(before=previous)
    return [(task, task.__dict__["before"]) for task in undone.order_by("due_at", "pk")]


def _test(task: Task, before: datetime | None) -> DueTest:
    every = task.due_at - before if before else task.late_at - task.opens_at
    return DueTest(
        key=f"facility.task:{task.pk}",
        title=task.title,
        parameters=tuple(task.asks.get("parameters", ())),
        due_at=task.due_at,
        every=max(every, _SHORTEST),
    )
