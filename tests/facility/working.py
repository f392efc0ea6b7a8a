"""Builders of the day's work: tasks and answers, each through its command."""

from datetime import datetime, time, timedelta
from typing import Any
from uuid import uuid4

from facility.commands.answers import AnswerTask, answer_task
from facility.commands.duties import SetDuty, set_duty
from facility.commands.raising import RaiseTasks, raise_tasks
from facility.commands.work import RaiseTask, raise_task
from facility.models import Completion, Duty, Person, Task
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


def duty_of(house: House, *, at: datetime = NOON, **said: Any) -> SetDuty:
    """Every morning at nine, from the day it is set; ``clock`` says another time."""
    told: dict[str, Any] = {
        "kind": "WALK",
        "title": "Opening walk",
        "about": f"facility.area:{house.area.pk}",
        "rule": "FREQ=DAILY",
        "begins_on": at.astimezone(house.site.zone).date(),
        "at": said.pop("clock", time(9)),
        "opens_before_minutes": 60,
        "late_after_minutes": 60,
        "minutes": 15,
    }
    return SetDuty(id=uuid4(), site_id=house.site.pk, **told | said)


def set_for(house: House, *, at: datetime = NOON, **said: Any) -> Duty:
    return set_duty(duty_of(house, at=at, **said), by=house.mo, at=at)


def raised(house: House, *, until: datetime, at: datetime = NOON) -> list[Task]:
    return raise_tasks(RaiseTasks(site_id=house.site.pk, until=until), by=None, at=at)
