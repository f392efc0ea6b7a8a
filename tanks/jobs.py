"""Work behind the pages: forecasts and alarms, after what was logged and by the clock."""

import logging
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any, Final
from uuid import UUID, uuid4

from celery import Task, shared_task
from django.db import InterfaceError
from django.db import OperationalError as DatabaseAway
from kombu.exceptions import OperationalError

from facility.models import Area, Site
from facility.queries.locks import one_at_a_time
from facility.rules.canonical import digest
from tanks.commands.forecasts import KeepForecast, keep_forecast
from tanks.commands.watching import watch
from tanks.models import Cycle, Vessel
from tanks.queries.cases import case_of
from tanks.queries.cycles import open_cycle_of, related
from tanks.rules.forecasting import BadCase, answers_to_all

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
        "lend-valve",
    )
)
# What falls due or past its time is seen by the clock.
CHANGES_A_WATER: Final = CHANGES_A_FORECAST | {
    "tanks.set-alarm-rule",
    "tanks.adopt-alarm-rules",
    "tanks.adopt-defaults",
    "tanks.log-source-reading",
    "tanks.log-walk",
    "tanks.switch-device",
}
_log: Final = logging.getLogger(__name__)


# A database that is being restarted comes back within minutes; what was kept is not made again.
_RETRIED: Final[dict[str, Any]] = {
    "autoretry_for": (DatabaseAway, InterfaceError),
    "retry_backoff": 5,
    "retry_backoff_max": 300,
    "max_retries": 8,
}
_AT_ONCE: Final = 50
_FAULTS: Final = (BadCase, ArithmeticError, ValueError)


@shared_task(name="tanks.refresh-forecast", **_RETRIED)
def refresh_forecast(cycle_id: str) -> None:
    """Make the forecast of one open start-up, unless this very case has one."""
    cycle = related(Cycle.objects.filter(ended_at=None)).filter(pk=UUID(cycle_id)).first()
    if cycle is not None:
        forecast_now(cycle, at=datetime.now(UTC))


@shared_task(name="tanks.refresh-forecast-of-water", **_RETRIED)
def refresh_forecast_of_water(vessel_id: str) -> None:
    """Make the forecast of the start-up that runs in this vessel's water, if one does."""
    at = datetime.now(UTC)
    vessel = Vessel.objects.select_related("site").filter(pk=UUID(vessel_id)).first()
    cycle = open_cycle_of(vessel, at=at) if vessel else None
    if cycle is not None:
        forecast_now(cycle, at=at)


@shared_task(name="tanks.refresh-forecasts", **_RETRIED)
def refresh_forecasts() -> None:
    """Ask for every open start-up's forecast, in jobs of many at once."""
    rows = Cycle.objects.filter(ended_at=None).order_by("pk").values_list("pk", flat=True)
    keys = [str(pk) for pk in rows]
    for first in range(0, len(keys), _AT_ONCE):
        _enqueue(refresh_batch, " ".join(keys[first : first + _AT_ONCE]))


@shared_task(name="tanks.refresh-batch", **_RETRIED)
def refresh_batch(cycle_ids: str) -> None:
    """Make the forecasts of several open start-ups at once; if that fails, one job for each."""
    rows = related(Cycle.objects.filter(ended_at=None, pk__in=map(UUID, cycle_ids.split())))
    cycles = list(rows.order_by("pk"))
    try:
        forecast_together(cycles, at=datetime.now(UTC))
    except _FAULTS as fault:
        _log.warning("Start-ups are forecast one by one: %s", fault)
        for cycle in cycles:
            _enqueue(refresh_forecast, str(cycle.pk))


def follow(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """Ask for a forecast after a ledger line about a vessel or a start-up."""
    table, _, key = about.partition(":")
    if table == "tanks.vessel":
        _enqueue(refresh_forecast_of_water, key)
    elif table == "tanks.cycle":
        _enqueue(refresh_forecast, key)


@shared_task(name="tanks.watch-water", **_RETRIED)
def watch_water(vessel_id: str) -> None:
    """Look at the water of this vessel with the site's alarm rules."""
    vessel = Vessel.objects.select_related("site").filter(pk=UUID(vessel_id)).first()
    if vessel is not None:
        _watch(vessel.site, of=vessel.pk)


@shared_task(name="tanks.watch-site", **_RETRIED)
def watch_site(site_id: str) -> None:
    """Look at every water of a site: what was not read and not put right calls too."""
    site = Site.objects.filter(pk=UUID(site_id)).first()
    if site is not None:
        _watch(site)


@shared_task(name="tanks.watch-area", **_RETRIED)
def watch_area(area_id: str) -> None:
    """Look at every water of the site of a room that somebody walked through."""
    area = Area.objects.select_related("site").filter(pk=UUID(area_id)).first()
    if area is not None:
        _watch(area.site)


@shared_task(name="tanks.watch-sites", **_RETRIED)
def watch_sites() -> None:
    """Ask for each site."""
    for pk in Site.objects.order_by("pk").values_list("pk", flat=True):
        _enqueue(watch_site, str(pk))


def keep_watch(kind: str, about: str, facts: dict[str, Any]) -> None:  # noqa: ARG001 - the socket's form
    """Ask to look at a water after a ledger line about one of its vessels, or at the whole site."""
    table, _, key = about.partition(":")
    if table == "facility.site":
        _enqueue(watch_site, key)
    elif table == "facility.area":
        _enqueue(watch_area, key)
    elif table == "tanks.vessel":
        _enqueue(watch_water, key)


def _watch(site: Site, *, of: UUID | None = None) -> None:
    # Two looks at once could let the older word win.
    with one_at_a_time(f"tanks.watch:{site.pk}"):
        watch(site, at=datetime.now(UTC), of=of)


def forecast_now(cycle: Cycle, *, at: datetime) -> None:
    """Forecast and keep, unless this very case has a forecast."""
    try:
        forecast_together([cycle], at=at)
    except BadCase as fault:
        _log.warning("No forecast of start-up %s: %s", cycle.pk, fault)


def forecast_together(cycles: Iterable[Cycle], *, at: datetime, weighs: bool = True) -> None:
    """Forecast and keep several, in one run; each is kept on its own.

    Raises:
        BadCase: one of them cannot be forecast; none is kept then.
    """
    new = [
        (cycle, case)
        for cycle in cycles
        if not cycle.forecasts.filter(digest=digest(case := case_of(cycle, at=at))).exists()
    ]
    answers = list(answers_to_all([case for _, case in new], weighs=weighs))
    for (cycle, case), answered in zip(new, answers, strict=True):
        command = KeepForecast(
            id=uuid4(),
            cycle_id=cycle.pk,
            case=case,
            as_planned=answered.as_planned,
            unbuffered=answered.unbuffered,
        )
        keep_forecast(command, by=None, at=at)


def _enqueue(job: Task[[str], None], key: str) -> None:
    """Ask for a job; a broker that is down costs a forecast, never the entry just made."""
    try:
        job.apply_async(args=(key,), retry=False)
    except (OperationalError, OSError) as fault:
        _log.warning("A forecast could not be asked for: %s", fault)
