"""What leaving the plan would cost, in words: never more exact than the members allow."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil
from typing import Any, Final

from facility.rules.wording import written

_TITLES: Final = {
    "skip_dose": "Give no ammonia today",
    "half_doses": "Give half of each dose from now on",
    "double_doses": "Give double doses from now on",
    "ignore_nitrite": "Dose whatever nitrite reads",
    "never_buffer": "Never raise alkalinity",
}
_LEAST_DAYS: Final = 0.5
_LEAST_CHANCE: Final = 0.01
_OVER_CAP: Final = 0.03
_PAST_HORIZON: Final = (
    "Where the middle of the forecast lies past the horizon days cannot be compared, and only the "
    "chance of a pass is told."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIf:
    """One departure; ``forbids`` says why it must not be done, where it must not."""

    title: str
    sentence: str
    forbids: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfs:
    """``caution`` says what holds of all of them, once."""

    departures: list[WhatIf]
    caution: str = ""


def what_ifs(told: Iterable[Mapping[str, Any]], *, cap_mg_l_n: float) -> WhatIfs:
    """Return the departures in the order they were weighed."""
    weighed = list(told)
    return WhatIfs(
        departures=[_what_if(one, cap_mg_l_n) for one in weighed],
        caution=_PAST_HORIZON if any(one["is_bound"] for one in weighed) else "",
    )


def _what_if(one: Mapping[str, Any], cap_mg_l_n: float) -> WhatIf:
    chance = _chance(one)
    told = _past_horizon(one, chance) if one["is_bound"] else f"{_delay(one)} {chance}".strip()
    return WhatIf(
        title=_TITLES.get(one["departure"], one["departure"]),
        sentence=told,
        forbids=_forbids(one, cap_mg_l_n),
    )


def _past_horizon(one: Mapping[str, Any], chance: str) -> str:
    """Tell what can be told where one middle, or both, lie past the horizon: no days."""
    if not chance:
        return "No difference that shows in the chance of a pass by the horizon."
    if one["delay_d"] > 0.0:
        return f"{chance} A pass by then is no longer likely."
    if one["delay_d"] < 0.0:
        return f"{chance} A pass by then becomes likely."
    return chance


def _delay(one: Mapping[str, Any]) -> str:
    low, high = one["delay_span_d"]
    if low <= 0.0 <= high or max(abs(low), abs(high)) < _LEAST_DAYS:
        within = max(ceil(max(abs(low), abs(high))), 1)
        return f"No difference that shows: within {within} day{'s' if within > 1 else ''}."
    way = "later" if one["delay_d"] > 0 else "earlier"
    ends = sorted((abs(low), abs(high)))
    return f"A first pass about {_day(abs(one['delay_d']))} {way} ({_day(ends[0], ends[1])})."


def _day(first_d: float, last_d: float | None = None) -> str:
    """Half days: more would be false precision."""
    first, last = (_halves(value) for value in (first_d, last_d if last_d is not None else first_d))
    if first == last:
        return f"{first} day{'' if first == '1' else 's'}"
    return f"{first} to {last} days"


def _halves(days: float) -> str:
    return written(max(round(days * 2) / 2, _LEAST_DAYS))


def _chance(one: Mapping[str, Any]) -> str:
    low, high = one["never_span"]
    rise = one["never_rise"]
    if low <= 0.0 <= high or abs(rise) < _LEAST_CHANCE:
        return ""
    way = "rises" if rise > 0 else "falls"
    return f"The chance of no pass by the horizon {way} by {abs(rise) * 100:.0f} in 100."


def _forbids(one: Mapping[str, Any], cap_mg_l_n: float) -> str:
    if one["over_cap"] <= _OVER_CAP:
        return ""
    return (
        f"It may lift ammonia over the cap of {written(cap_mg_l_n)} mg/L as N, in up to "
        f"{ceil(one['over_cap'] * 100)} of 100 forecasts: do not."
    )
