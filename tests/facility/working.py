"""Builders of the day's work: tasks and answers, each through its command."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from facility.commands.answers import AnswerTask, answer_task
from facility.commands.work import RaiseTask, raise_task
from facility.models import Completion, Person, Task
from tests.cast import NOON, House

HOUR = timedelta(hours=1)


def task_of(house: House, *, at: datetime = NOON, **said: Any) -> RaiseTask:
    """Open since an hour, due in an hour, late an hour after that."""
    told: dict[str, Any] = {
        "kind": "WALK",
        "title": "Walk the front room",
        "why": "",
        "about": f"facility.area:{house.area.pk}",
        "opens_at": at - HOUR,
        "due_at": at + HOUR,
        "late_at": at + 2 * HOUR,
        "minutes": 10,
    }
    return RaiseTask(id=uuid4(), site_id=house.site.pk, **told | said)


def asked(house: House, *, at: datetime = NOON, **said: Any) -> Task:
    return raise_task(task_of(house, at=at, **said), by=house.mo, at=at)


def answer_of(task: Task, *, at: datetime = NOON, **said: Any) -> AnswerTask:
    told: dict[str, Any] = {"outcome": "DONE", "happened_at": at}
    return AnswerTask(id=uuid4(), task_id=task.pk, **told | said)


def answered(task: Task, *, by: Person, at: datetime = NOON, **said: Any) -> Completion:
    return answer_task(answer_of(task, at=at, **said), by=by, at=at)
