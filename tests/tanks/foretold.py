"""Forecasts as a job keeps them, of made-up figures that a test may overrule."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from django.utils import timezone

from tanks.commands.forecasts import KeepForecast, keep_forecast
from tanks.models import Forecast
from tanks.queries.cases import case_of
from tests.tanks.proving import HOUR, Proving

_LEVELS = (5, 10, 25, 50, 75, 90, 95)
_PARAMETERS = ("tan", "nitrite", "nitrate", "ph", "alkalinity")


def forecast_of(known: Proving, *, at: datetime | None = None, **planned: Any) -> Forecast:
    """Eight days wide, low alkalinity likely; ``planned`` overrules what it answered."""
    at = at or timezone.now()
    case = case_of(known.cycle, at=at)
    hours = hours_from((at - known.cycle.started_at) / HOUR)
    command = KeepForecast(
        id=uuid4(),
        cycle_id=known.cycle.pk,
        case=case,
        as_planned=_answer(case["now_h"], hours) | planned,
        unbuffered={"ready_at_h": dict.fromkeys(hours), "never_by_horizon": 0.97},
    )
    return keep_forecast(command, by=None, at=at)


def hours_from(begin_h: float, *, days: float = 10.0) -> dict[str, float | None]:
    """Quantiles spread evenly over ``days`` from an hour on."""
    return {f"p{level:02d}": begin_h + 24 * days * level / 100 for level in _LEVELS}


def _answer(now_h: float, hours: dict[str, float | None]) -> dict[str, Any]:
    band = {level: [0.5, 0.4, 0.3] for level in ("p10", "p50", "p90")}
    return {
        "ready_at_h": hours,
        "never_by_horizon": 0.05,
        "causes": {"low_alkalinity": 0.8, "cold": 0.0},
        "next_step": {"kind": "buffer", "amount": 1.5, "unit": "meq/L", "why": "It is short."},
        "pass_now": 0.0,
        "sureness": "A first pass is as likely as not within eight days.",
        "bands": {
            "t_h": [now_h + 24 * day for day in range(3)],
            **dict.fromkeys(_PARAMETERS, band),
        },
    }
