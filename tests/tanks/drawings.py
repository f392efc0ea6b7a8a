"""Builders of what a chart is drawn from."""

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from tanks.rules.charting import Act, Drawing, FirstPass, Mark, Outlook, Spec

# The clocks of Lisbon go forward on the 29th of March 2026.
BEGAN = datetime(2026, 3, 27, 9, tzinfo=UTC)
DAY = timedelta(days=1)


def mark(**changes: Any) -> Mark:
    told: dict[str, Any] = {
        "parameter": "TAN",
        "at": BEGAN + DAY,
        "qualifier": "EQUAL",
        "low": 1.5,
        "high": 1.5,
    }
    return Mark(**(told | changes))


def act(**changes: Any) -> Act:
    told: dict[str, Any] = {"lane": "ammonia", "at": BEGAN + DAY, "amount": "2 mg/L-N"}
    return Act(**(told | changes))


def outlook(parameter: str = "TAN", *, days: int = 60) -> Outlook:
    now = BEGAN + 10 * DAY
    return Outlook(
        parameter=parameter,
        at=tuple(now + place * DAY for place in range(days)),
        p10=tuple(0.1 for _ in range(days)),
        p50=tuple(0.5 + place for place in range(days)),
        p90=tuple(1.5 + place for place in range(days)),
    )


def first_pass(**changes: Any) -> FirstPass:
    now = BEGAN + 10 * DAY
    told = {
        "p10_at": now + 2 * DAY,
        "p25_at": now + 3 * DAY,
        "p50_at": now + 5 * DAY,
        "p75_at": now + 8 * DAY,
        "p90_at": now + 12 * DAY,
    }
    return FirstPass(**(told | changes))


def drawing(**changes: Any) -> Drawing:
    told: dict[str, Any] = {
        "started_at": BEGAN,
        "now": BEGAN + 10 * DAY,
        "zone": ZoneInfo("Europe/Lisbon"),
        "marks": (mark(),),
    }
    return Drawing(**(told | changes))


def panel_of(drawn: Spec, title: str) -> Spec:
    found: Spec = next(
        part for part in drawn["vconcat"] if part.get("title", {}).get("text") == title
    )
    return found


def layers_with(part: Spec, mark_type: str, **wanted: Any) -> list[Spec]:
    """Return layers drawn by that mark, with those properties, that hold rows."""
    return [
        layer
        for layer in part["layer"]
        if layer["mark"]["type"] == mark_type
        and layer["data"]["values"]
        and all(layer["mark"].get(key) == value for key, value in wanted.items())
    ]
