"""Work behind the pages: forecasts made anew after what was logged, and every night."""

import logging
from datetime import UTC, datetime
from typing import Any, Final
from uuid import UUID, uuid4

from celery import Task, shared_task
from kombu.exceptions import OperationalError

from facility.rules.canonical import digest
from tanks.commands.forecasts import KeepForecast, keep_forecast
from tanks.models import Cycle, Vessel
from tanks.queries.cases import case_of
from tanks.queries.cycles import open_cycle_of, related
from tanks.rules.forecasting import BadCase, answers_to

CHANGES_A_FORECAST: Final = frozenset(
    f"tanks.{deed}"
    for deed in (
        "start-cycle",
        "log-readings",
        "correct-reading",
        "withdraw-entry",
        "log-dose",
        "log-water-change",
        "log-feeding",
        "log-seeding",
        "log-incident",
        "measure-volume",
        "open-valve",
        "close-valve",
    )
)
_log: Final = logging.getLogger(__name__)


@shared_task(name="tanks.refresh-forecast")
def refresh_forecast(cycle_id: str) -> None:
    """Make the forecast of one open start-up, unless this very case has one."""
    cycle = related(Cycle.objects.filter(ended_at=None)).filter(pk=UUID(cycle_id)).first()
    if cycle is not None:
        forecast_now(cycle, at=datetime.now(UTC))


@shared_task(name="tanks.refresh-forecast-of-water")
def refresh_forecast_of_water(vessel_id: str) -> None:
    """Make the forecast of the start-up that runs in this vessel's water, if one does."""
    at = datetime.now(UTC)
    vessel = Vessel.objects.select_related("site").filter(pk=UUID(vessel_id)).first()
    cycle = open_cycle_of(vessel, at=at) if vessel else None
    if cycle is not None:
        forecast_now(cycle, at=at)


@shared_task(name="tanks.refresh-forecasts")
def refresh_forecasts() -> None:
    """Ask for every open start-up's forecast, each as a job of its own."""
    for cycle_id in Cycle.objects.filter(ended_at=None).order_by("pk").values_list("pk", flat=True):
        _enqueue(refresh_forecast, str(cycle_id))


def follow(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """Ask for a forecast after a ledger line about a vessel or a start-up."""
    table, _, key = about.partition(":")
    if table == "tanks.vessel":
        _enqueue(refresh_forecast_of_water, key)
    elif table == "tanks.cycle":
        _enqueue(refresh_forecast, key)


def forecast_now(cycle: Cycle, *, at: datetime) -> None:
    """Forecast and keep, unless this very case has a forecast."""
    case = case_of(cycle, at=at)
    if cycle.forecasts.filter(digest=digest(case)).exists():
        return
    try:
        answers = answers_to(case)
    except BadCase as fault:
        _log.warning("No forecast of start-up %s: %s", cycle.pk, fault)
        return
    command = KeepForecast(
        id=uuid4(),
        cycle_id=cycle.pk,
        case=case,
        as_planned=answers.as_planned,
        unbuffered=answers.unbuffered,
    )
    keep_forecast(command, by=None, at=at)


def _enqueue(job: Task[[str], None], key: str) -> None:
    """Ask for a job; a broker that is down costs a forecast, never the entry just made."""
    try:
        job.apply_async(args=(key,), retry=False)
    except (OperationalError, OSError) as fault:
        _log.warning("A forecast could not be asked for: %s", fault)
