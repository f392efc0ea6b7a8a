"""When a duty's turn comes: recurrence rules of RFC 5545 in a site's wall time. Pure.

Rules are counted on the wall, then read as moments. A wall time that a clock change leaves out
falls to the next moment there is, where RFC 5545 (3.3.10) would drop it: an animal is fed on
that day too. A wall time that comes twice is its first (3.3.5).
"""

import re
from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import lru_cache
from typing import Final

from dateutil.rrule import rrule, rrulestr

FREQUENCIES: Final = ("YEARLY", "MONTHLY", "WEEKLY", "DAILY", "HOURLY")
_PARTS: Final = frozenset(
    {"FREQ", "INTERVAL", "COUNT", "UNTIL", "WKST", "BYMONTH", "BYMONTHDAY", "BYDAY", "BYHOUR"}
    | {"BYSETPOS"}
)
_TOO_OFTEN: Final = frozenset({"MINUTELY", "SECONDLY"})
_MOST_INTERVAL: Final = 1000
_LEAP_YEAR: Final = 2024
# The calendar repeats after 400 years, weekdays too: a rule tried there ends its search soon.
_CALENDAR_YEARS: Final = 400
_LAST_CALENDAR: Final = 9600


class BadRule(ValueError):  # noqa: N818  the house names refusals by what is so
    """The text is no recurrence a duty can follow; the sentence names the part to mend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """``wall`` is what the clock shows at the moment ``at``, which names the turn."""

    wall: datetime
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Rhythm:
    """A rule with the wall time of its start, DTSTART; a turn comes at that minute of the hour."""

    rule: str
    begins_on: date
    begins_at: time

    @property
    def start(self) -> datetime:
        return datetime.combine(self.begins_on, self.begins_at)


def require_rhythm(rhythm: Rhythm, zone: tzinfo) -> None:
    """Refuse what is no rule, would flood the day, or never comes round.

    Raises:
        BadRule
    """
    _parsed(rhythm.rule, rhythm.start, zone)
    years = (_LAST_CALENDAR - rhythm.begins_on.year) // _CALENDAR_YEARS * _CALENDAR_YEARS
    start = rhythm.start.replace(year=rhythm.begins_on.year + years)
    tried = _parsed(_endless(rhythm.rule), start, zone)
    ends = _until(_split(rhythm.rule), zone)
    if next(iter(tried), None) is None or (ends is not None and ends < rhythm.start):
        raise BadRule("By this rule its turn never comes; change the days or the end.")


def turns(rhythm: Rhythm, zone: tzinfo, *, since: datetime, until: datetime) -> Iterator[Turn]:
    """Yield the turns after ``since`` up to and with ``until``, each moment once, in order.

    Raises:
        BadRule
    """
    # A day more on either side: a clock change moves a wall time by hours, never by a day.
    wall_since, wall_until = (
        moment.astimezone(zone).replace(tzinfo=None) + side
        for moment, side in ((since, -timedelta(days=1)), (until, timedelta(days=1)))
    )
    found = {_moment(wall, zone): None for wall in _walls(rhythm, zone, wall_since, wall_until)}
    for at in sorted(found):
        if since < at <= until:
            yield Turn(wall=at.astimezone(zone).replace(tzinfo=None), at=at)


def normal(rule: str) -> str:
    """Return the rule as it is kept: capitals, no spaces, no leading ``RRULE:``."""
    text = "".join(rule.split()).upper().rstrip(";")
    return text.removeprefix("RRULE:")


def _moment(wall: datetime, zone: tzinfo) -> datetime:
    """The moment a wall time names; one left out names the end of the gap."""
    at = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if at.astimezone(zone).replace(tzinfo=None) == wall:
        return at
    # Offsets differ by the gap: read with the later one, it lies before the gap ends.
    before = wall.replace(tzinfo=zone, fold=1).astimezone(UTC)
    return _gap_end(min(at, before), max(at, before), zone)


def _gap_end(low: datetime, high: datetime, zone: tzinfo) -> datetime:
    """The moment the offset changes between two moments, to the second, by halving."""
    offset = low.astimezone(zone).utcoffset()
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) / 2
        if middle.astimezone(zone).utcoffset() == offset:
            low = middle
        else:
            high = middle
    return high.replace(microsecond=0)


@lru_cache(maxsize=4096)
def _walls(rhythm: Rhythm, zone: tzinfo, since: datetime, until: datetime) -> tuple[datetime, ...]:
    """Wall times between two wall times; many duties share a rhythm, so each is counted once."""
    parts = _split(rhythm.rule)
    start = rhythm.start if "COUNT" in parts else _nearer(parts, rhythm.start, since)
    return tuple(_parsed(rhythm.rule, start, zone).between(since, until, inc=True))


def _nearer(parts: Mapping[str, str], start: datetime, since: datetime) -> datetime:
    """A later start in step with the first, so that years are not counted through."""
    interval = int(parts.get("INTERVAL", "1"))
    days = {"WEEKLY": 7 * interval, "DAILY": interval, "HOURLY": interval}.get(parts["FREQ"])
    if days is None:
        return start
    return start + timedelta(days=max((since - start).days // days, 0) * days)


@lru_cache(maxsize=4096)
def _parsed(rule: str, start: datetime, zone: tzinfo) -> rrule:
    parts = _split(rule)
    _require_parts(parts)
    until = _until(parts, zone)
    told = ";".join(f"{name}={value}" for name, value in parts.items() if name != "UNTIL")
    try:
        found = rrulestr(told, dtstart=start)
        # Read without its UNTIL, which is in another clock; as a plain rule it takes one.
        return found.replace(until=until) if until else found  # type: ignore[union-attr,return-value]
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError) as fault:
        raise BadRule(
            f"{rule} is not a recurrence rule; write one such as FREQ=WEEKLY;BYDAY=MO,TH."
        ) from fault


def _split(rule: str) -> dict[str, str]:
    pairs = [part.partition("=") for part in normal(rule).split(";")]
    names = [name for name, _, _ in pairs]
    if any(not value for _, _, value in pairs) or len(set(names)) < len(names):
        raise BadRule("Write each part once, as NAME=VALUE, with semicolons between them.")
    return {name: value for name, _, value in pairs}


def _require_parts(parts: Mapping[str, str]) -> None:
    freq = parts.get("FREQ", "")
    if freq in _TOO_OFTEN or parts.keys() & {"BYMINUTE", "BYSECOND"}:
        raise BadRule("FREQ: a duty comes round once an hour at most; choose HOURLY or slower.")
    if freq not in FREQUENCIES:
        raise BadRule(f"FREQ: choose one of {', '.join(FREQUENCIES)}.")
    if freq not in {"MONTHLY", "YEARLY"} and re.search(r"\d", parts.get("BYDAY", "")):
        raise BadRule("BYDAY: days are numbered only in rules that come MONTHLY or YEARLY.")
    unknown = sorted(parts.keys() - _PARTS)
    if unknown:
        raise BadRule(f"{unknown[0]}: this part is not read here; leave it out.")
    for name in ("INTERVAL", "COUNT"):
        _require_whole(name, parts.get(name, "1"))
    if {"COUNT", "UNTIL"} <= parts.keys():
        raise BadRule("COUNT and UNTIL: give one of the two.")
    _require_months(parts)


def _require_whole(name: str, text: str) -> None:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= _MOST_INTERVAL):
        raise BadRule(f"{name}: write a whole number from 1 to {_MOST_INTERVAL}.")


def _require_months(parts: Mapping[str, str]) -> None:
    """Days that none of the months has would be looked for until the calendar ends."""
    months, days = (_wholes(name, parts.get(name, "")) for name in ("BYMONTH", "BYMONTHDAY"))
    if not set(months) <= set(range(1, 13)):
        raise BadRule("BYMONTH: write months from 1 to 12.")
    if not set(map(abs, days)) <= set(range(1, 32)):
        raise BadRule("BYMONTHDAY: write days from 1 to 31, or from -1, the last, to -31.")
    longest = max(monthrange(_LEAP_YEAR, month)[1] for month in months or range(1, 13))
    if days and min(map(abs, days)) > longest:
        raise BadRule("BYMONTHDAY: none of these months has such a day.")


def _wholes(name: str, text: str) -> list[int]:
    try:
        return [int(each) for each in text.split(",")] if text else []
    except ValueError as fault:
        raise BadRule(f"{name}: write whole numbers with commas between them.") from fault


def _until(parts: Mapping[str, str], zone: tzinfo) -> datetime | None:
    """The last wall time: a day counts whole, and a moment in UTC is turned to the wall."""
    text = parts.get("UNTIL")
    if text is None:
        return None
    try:
        if "T" not in text:
            return datetime.combine(datetime.strptime(text, "%Y%m%d").date(), time.max)  # noqa: DTZ007  wall time
        if text.endswith("Z"):
            at = datetime.strptime(text, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
            return at.astimezone(zone).replace(tzinfo=None)
        return datetime.strptime(text, "%Y%m%dT%H%M%S")  # noqa: DTZ007  wall time
    except (ValueError, OverflowError) as fault:
        raise BadRule(f"UNTIL: {text} is no day; write one such as 20261231.") from fault


def _endless(rule: str) -> str:
    parts = _split(rule)
    return ";".join(f"{name}={parts[name]}" for name in parts if name not in {"UNTIL", "COUNT"})
