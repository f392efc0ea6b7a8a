"""How sure a date is, in one plain sentence that never promises more than the interval."""

from collections.abc import Mapping
from typing import Final

_NARROW_H: Final = 168.0
_FIRST_WEEK_H: Final = 168.0  # readings cannot date a pass before that: no narrow interval can


def sureness(
    ready_at_h: Mapping[str, float | None],
    *,
    now_h: float,
    horizon_h: float,
    never_by_horizon: float,
    pass_now: float,
) -> str:
    """Return the sentence to show beside, or instead of, a date."""
    if pass_now > 0.5:  # noqa: PLR2004 - more likely than not
        return f"A pass is likely now ({pass_now:.0%}): only a challenge proves it."
    early, late = ready_at_h["p25"], ready_at_h["p75"]
    if ready_at_h["p50"] is None or early is None:
        return (
            f"More likely than not ({never_by_horizon:.0%}) there is no pass by "
            f"{_day(horizon_h)} unless something changes."
        )
    if late is None:
        return (
            f"Too early for a date: half the chance lies after {_day(ready_at_h['p50'])}, and "
            f"{never_by_horizon:.0%} of it beyond {_day(horizon_h)}."
        )
    return _interval(early, late, now_h)


def _interval(early_h: float, late_h: float, now_h: float) -> str:
    width_h = late_h - early_h
    early_days = now_h < _FIRST_WEEK_H or width_h > min(_NARROW_H, now_h)
    opening = "Too early for a date: a" if early_days else "A"
    return f"{opening} first pass between {_day(early_h)} and {_day(late_h)} is as likely as not."


def _day(t_h: float) -> str:
    return f"day {t_h / 24:.0f}"
