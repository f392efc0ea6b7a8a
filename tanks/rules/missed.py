"""A missed test in one line: what was not read, on which day, and what it last read. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Final

_SHORT: Final = {"TAN": "TAN", "PH": "pH"}
_WEEK: Final = timedelta(days=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Last:
    """What a parameter last read, as it was written, with its unit; None was never read."""

    name: str
    text: str | None
    at: datetime | None


def named(parameter: str, full: str) -> str:
    """The name as the trade says it in a sentence."""
    return _SHORT.get(parameter, full.lower())


def not_tested(
    subject: str, lasts: Sequence[Last], *, due_at: datetime, at: datetime, zone: tzinfo
) -> str:
    """Return ``Nitrite of M1 was not tested on Sunday: last 0.05 mg/L as N, 3 days ago``."""
    names = _listed([last.name for last in lasts])
    verb = "was" if len(lasts) == 1 else "were"
    day = _day(due_at, at=at, zone=zone)
    if len(lasts) == 1:
        told = _last(lasts[0], at)
    else:
        told = "; ".join(f"{last.name} {_last(last, at)}" for last in lasts)
    return f"{_begun(names)} of {subject} {verb} not tested {day}: {told}."


def not_done(title: str, *, due_at: datetime, at: datetime, zone: tzinfo) -> str:
    """Return ``Backwash the sand filter: not done on Sunday``."""
    return f"{title}: not done {_day(due_at, at=at, zone=zone)}."


def days_ago(then: datetime, *, at: datetime) -> str:
    """Return ``3 days ago``, and hours below two days."""
    span = at - then
    if span >= timedelta(days=2):
        return f"{span.days} days ago"
    hours = max(span // timedelta(hours=1), 0)
    return f"{hours} hour{'' if hours == 1 else 's'} ago"


def _last(last: Last, at: datetime) -> str:
    if last.text is None or last.at is None:
        return "never read before"
    return f"last {last.text}, {days_ago(last.at, at=at)}"


def _day(due_at: datetime, *, at: datetime, zone: tzinfo) -> str:
    local, today = due_at.astimezone(zone), at.astimezone(zone)
    if local.date() == today.date():
        return "today"
    if today - local <= _WEEK:
        return f"on {local:%A}"
    return f"on {local.day} {local:%B}"


def _begun(names: str) -> str:
    """With a capital, but for pH."""
    return names if names.startswith("pH") else names[0].upper() + names[1:]


def _listed(names: Sequence[str]) -> str:
    *most, final = names
    return f"{', '.join(most)} and {final}" if most else final
