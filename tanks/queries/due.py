"""What is due in one water, whoever says so."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.queries.task_pages import page_of
from facility.queries.work import TaskNow, undone
from facility.sockets.work import Due, task_sources
from tanks.queries.waters import Water


def due_in(water: Water) -> list[Due]:
    """Everything open at the water's moment that names one of its vessels, soonest first.

    Tasks about them count, and what a task asks for is named once.
    """
    site, at = water.anchor.site, water.at
    tasks = _tasks_in(water, site, at)
    found = [
        due
        for source in task_sources
        for due in source.due(site.pk, at)
        if due.vessel_ids & water.member_ids and not is_named(due, tasks)
    ]
    found += [_as_due(one) for one in tasks]
    return sorted(found, key=lambda due: (due.due_at, due.title, due.key))


def is_named(due: Due, tasks: Iterable[TaskNow]) -> bool:
    """Whether a task about the same water asks for the same."""
    return any(
        one.task.kind == due.kind
        and vessel_of(one) in due.vessel_ids
        and due.parameters <= frozenset(one.task.asks.get("parameters", ()))
        for one in tasks
    )


def vessel_of(one: TaskNow) -> UUID | None:
    """The tank or system a task is about."""
    table, _, key = one.task.about.partition(":")
    return UUID(key) if table == "tanks.vessel" else None


def _tasks_in(water: Water, site: Site, at: datetime) -> list[TaskNow]:
    keys = [f"tanks.vessel:{pk}" for pk in water.member_ids]
    return [one for one in undone(site, at=at, abouts=keys) if not one.is_missed]


def _as_due(one: TaskNow) -> Due:
    vessel = vessel_of(one)
    return Due(
        key=f"facility.task:{one.task.pk}",
        title=one.task.title,
        why=one.task.why,
        place=one.where,
        hygiene_rank=one.hygiene_rank,
        due_at=one.task.due_at,
        url=page_of(one.task) or reverse("facility:answer-task", args=[one.task.pk]),
        vessel_ids=frozenset([vessel] if vessel else []),
    )
