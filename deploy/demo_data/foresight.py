"""The nights on which the house forecast, each from what had been told by then."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from deploy.demo_data.acts import Weeks, ident
from deploy.demo_data.startups import PLANS, Plan
from tanks.jobs import forecast_together
from tanks.models import Cycle
from tanks.queries.cycles import related
from tanks.rules.calibration import DAYS

_CLOCK: Final = "02:10"
_SOME_DAYS: Final = (7, 14)
_LEFT_OUT: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """The start-ups forecast at one moment, by their vessels' codes."""

    at: datetime
    codes: tuple[str, ...]


def nights(weeks: Weeks) -> list[Night]:
    """Return the nights before the days forecasts are scored on, in order."""
    due: dict[datetime, list[str]] = {}
    for plan in PLANS:
        for day in _days(plan):
            at = weeks.at(plan.day + day, _CLOCK)
            due.setdefault(at, []).append(plan.code)
    return [Night(at=at, codes=tuple(codes)) for at, codes in sorted(due.items())]


def foretell(night: Night) -> None:
    """Forecast what stands in the books now; a night that was gone through before is left alone."""
    cycles = related(Cycle.objects.filter(pk__in=[ident(f"cycle:{code}") for code in night.codes]))
    new = cycles.exclude(forecasts__made_at__gte=night.at).order_by("pk")
    forecast_together(new, at=night.at, weighs=False)


def _days(plan: Plan) -> Iterator[int]:
    """Return the days scored until the proof; of those still under way a few to look back at.

    The fifth is left out: each night takes the load its second. Whoever gives up has looked at
    the last forecast that morning.
    """
    is_open = plan.proves_on is None and plan.given_up_on is None
    until = plan.last_day if plan.proves_on is None else plan.proves_on
    scored = _SOME_DAYS if is_open else DAYS
    yield from (day for day in scored if day <= until and day != _LEFT_OUT)
    if plan.given_up_on is not None:
        yield plan.given_up_on
