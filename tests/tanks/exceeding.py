"""Builders of what is done about a reading out of range."""

from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from facility.commands.evidence import answer_by_evidence
from facility.models import Task
from tanks.commands.corrective_actions import ActOnReading, act_on_reading
from tanks.models import CorrectiveAction, Reading, Vessel
from tanks.queries.exceedances import Open, open_at_site
from tests.cast import NOON, House

HOUR: Final = timedelta(hours=1)


def act_of(reading: Reading, *, at: datetime = NOON + HOUR, **said: Any) -> ActOnReading:
    told: dict[str, Any] = {"action": "water-change", "note": "A third", "happened_at": at}
    return ActOnReading(id=uuid4(), reading_id=reading.pk, **told | said)


def acted(
    house: House, reading: Reading, *, at: datetime = NOON + HOUR, **said: Any
) -> CorrectiveAction:
    return act_on_reading(act_of(reading, at=at, **said), by=house.ana, at=at)


def retest() -> Task:
    return Task.objects.get(kind="RETEST")


def is_done(task: Task, vessel: Vessel, *, at: datetime) -> bool:
    """After the house has looked at what was recorded about the vessel."""
    answer_by_evidence(f"tanks.vessel:{vessel.pk}", at=at)
    return task.completions.current().filter(outcome="DONE").exists()


def open_now(house: House, *, at: datetime) -> list[Open]:
    return open_at_site(house.site, at=at)
