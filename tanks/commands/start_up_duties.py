"""Duties of a start-up end with it: nobody is asked to test what is proven or given up."""

from datetime import datetime
from uuid import UUID

from facility.models import Duty
from tanks.models import Cycle
from tanks.queries.default_duties import duty_ids_of
from tanks.rules.default_duties import CERTIFIED, START_UP


def end_tests(cycle: Cycle, *, at: datetime) -> list[Duty]:
    """The filter is proven: the daily test of its start-up ends."""
    return _ended(duty_ids_of(cycle, START_UP), at)


def end_all(cycle: Cycle, *, at: datetime) -> list[Duty]:
    """The start-up is over: neither tested each day for it, nor kept fed without animals."""
    return _ended(duty_ids_of(cycle, START_UP, CERTIFIED), at)


def _ended(ids: list[UUID], at: datetime) -> list[Duty]:
    rows = list(Duty.objects.filter(pk__in=ids, ended_at=None).order_by("pk"))
    for row in rows:
        row.ended_at = at
        row.save(update_fields=["ended_at"])
    return rows
