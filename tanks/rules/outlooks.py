"""What a stored forecast says, in words: a window, never one date, and how likely each cause is.

The answer's keys are those of cycle-case/1; hours count from the start of the start-up.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Any, Final

from tanks.rules.charting import FirstPass, Outlook

_LEVELS: Final = ("p10", "p25", "p50", "p75", "p90")
_PARAMETERS: Final = ("TAN", "NITRITE", "NITRATE", "PH", "ALKALINITY")
_CAUSES: Final = {
    "weak_or_dead_seed": "The seeding is weak or dead",
    "nitrite_oxidisers_missing": "Nitrite oxidisers are missing",
    "low_alkalinity": "Alkalinity is too low",
    "inhibition": "Ammonia or nitrite is so high that it inhibits",
    "cold": "The water is too cold",
}
FIRST_WEEK_H: Final = 168.0
_LEAST: Final = 0.01
# From which share of the forecasts which word is used.
_WORDS: Final = (
    (0.9, "almost sure"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.1, "unlikely"),
    (0.0, "very unlikely"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One reason for a stall; ``percent`` of the forecasts say so, written as ``share``."""

    code: str
    label: str
    percent: int
    share: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """When the first pass may come: as likely as not within ``half``, eight in ten in ``most``.

    ``dates`` is ``half`` by the calendar alone, beside a sentence that already counts days. In
    the first week there are only weeks: no date, no ``dates`` and no ``middle``.
    """

    half: str
    dates: str
    most: str
    middle: str
    never: str


def first_pass(answer: Mapping[str, Any], *, started_at: datetime) -> FirstPass:
    """Return when each share of the forecasts has passed; None lies past the horizon."""
    known = {f"{level}_at": _moment(answer, level, started_at) for level in _LEVELS}
    return FirstPass(**known)


def window(
    answer: Mapping[str, Any], *, started_at: datetime, now_h: float, horizon_h: float, zone: tzinfo
) -> Window:
    """Return the window of the first pass in days since the start and by the calendar."""
    first = first_pass(answer, started_at=started_at)
    if now_h < FIRST_WEEK_H:
        return _in_weeks(first, answer, started_at=started_at, horizon_h=horizon_h)
    end = f"day {horizon_h / 24:.0f}"

    def told(at: datetime | None) -> str:
        return f"{_day(at, started_at)} ({dated(at)})" if at else f"past {end}"

    def dated(at: datetime | None) -> str:
        return _date(at, started_at, zone) if at else f"past {end}"

    return Window(
        half=_span(told(first.p25_at), told(first.p75_at)),
        dates=_span(dated(first.p25_at), dated(first.p75_at)),
        most=_span(told(first.p10_at), told(first.p90_at)),
        middle=told(first.p50_at),
        never=chance(float(answer["never_by_horizon"])),
    )


def _in_weeks(
    first: FirstPass, answer: Mapping[str, Any], *, started_at: datetime, horizon_h: float
) -> Window:
    def told(at: datetime | None) -> str:
        return f"week {_week(at, started_at)}" if at else f"past day {horizon_h / 24:.0f}"

    return Window(
        half=_span(told(first.p25_at), told(first.p75_at)),
        dates="",
        most=_span(told(first.p10_at), told(first.p90_at)),
        middle="",
        never=chance(float(answer["never_by_horizon"])),
    )


def _week(at: datetime, started_at: datetime) -> int:
    """Day 0 to 6 are week 1."""
    return (at - started_at) // timedelta(days=7) + 1


def _span(begin: str, end: str) -> str:
    return begin if begin == end else f"{begin} to {end}"


def causes(shares: Mapping[str, float]) -> list[Cause]:
    """Return why the start-up may be slow, likeliest first."""
    ranked = sorted(shares.items(), key=lambda item: (-item[1], item[0]))
    return [
        Cause(
            code=code,
            label=_CAUSES.get(code, code),
            percent=round(share * 100),
            share=chance(share),
            word=next(word for least, word in _WORDS if share >= least),
        )
        for code, share in ranked
    ]


def chance(share: float) -> str:
    """Never quite 0 or 100 per cent: a forecast knows neither."""
    if share < _LEAST:
        return "under 1 %"
    return "over 99 %" if share > 1 - _LEAST else f"{share * 100:.0f} %"


def outlooks(
    bands: Mapping[str, Any], *, started_at: datetime, from_h: float
) -> tuple[Outlook, ...]:
    """Return the bands from ``from_h`` on: what lies before was inferred, not forecast."""
    ahead = [place for place, t_h in enumerate(bands["t_h"]) if t_h >= from_h]
    moments = tuple(started_at + timedelta(hours=bands["t_h"][place]) for place in ahead)
    return tuple(
        Outlook(parameter=name, at=moments, **_levels(bands[name.lower()], ahead))
        for name in _PARAMETERS
        if name.lower() in bands
    )


def expected_at(
    bands: Mapping[str, Any], parameter: str, *, t_h: float
) -> tuple[float, float, float] | None:
    """Return p10, p50 and p90 at an hour, straight between those kept; None outside them."""
    hours, band = bands["t_h"], bands.get(parameter)
    place = bisect_right(hours, t_h)
    if band is None or not 0 < place < len(hours):
        return None
    before_h, after_h = hours[place - 1], hours[place]
    share = (t_h - before_h) / (after_h - before_h)
    low, middle, high = (
        band[level][place - 1] + share * (band[level][place] - band[level][place - 1])
        for level in ("p10", "p50", "p90")
    )
    return low, middle, high


def without_clock(case: Mapping[str, Any]) -> dict[str, Any]:
    """Return the facts of a case: two cases with the same facts differ only in their now."""
    return {key: value for key, value in case.items() if key != "now_h"}


def _moment(answer: Mapping[str, Any], level: str, started_at: datetime) -> datetime | None:
    at_h = answer["ready_at_h"].get(level)
    return None if at_h is None else started_at + timedelta(hours=at_h)


def _day(at: datetime, started_at: datetime) -> str:
    return f"day {_days(at, started_at)}"


def _date(at: datetime, started_at: datetime, zone: tzinfo) -> str:
    """The date of the whole day that is named, so that day and date agree."""
    local = (started_at + timedelta(days=_days(at, started_at))).astimezone(zone)
    return f"{local.day} {local:%b}"


def _days(at: datetime, started_at: datetime) -> int:
    return round((at - started_at) / timedelta(days=1))


def _levels(band: Mapping[str, list[float]], places: list[int]) -> dict[str, tuple[float, ...]]:
    return {level: tuple(band[level][place] for place in places) for level in ("p10", "p50", "p90")}
