"""What an open course calls for: out of its window, not read in time, a bath past its minutes."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, TODAY, Seen
from facility.rules.wording import written

# Twice a day until the clock runs, then daily: hobby magazine 2009, quoted by trade practice.
UNTIL_RUNNING: Final = timedelta(hours=12)
WHILE_RUNNING: Final = timedelta(hours=24)
_SOURCE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """A course as it is watched; the level is what was read last, None while nothing was."""

    name: str
    unit: str
    low: float | None
    high: float | None
    read_low: float | None
    read_high: float | None
    read_key: str
    is_level_read: bool
    is_open: bool
    is_clearing: bool
    is_running: bool
    read_at: datetime | None
    dosed_at: datetime | None
    bath_ends_at: datetime | None
    bath_key: str
    is_same_water: bool
    course_key: str


def next_reading_at(watch: Watch) -> datetime | None:
    """Return by when the level is to be read next, or None."""
    if not watch.is_level_read or not watch.is_open or watch.dosed_at is None:
        return None
    since = max(watch.dosed_at, watch.read_at or watch.dosed_at)
    return since + (WHILE_RUNNING if watch.is_running else UNTIL_RUNNING)


def seen_of(watch: Watch, *, at: datetime) -> Iterator[Seen]:
    yield from _level(watch)
    if not watch.is_same_water:
        yield _seen(
            f"treated-water-mixes:{watch.course_key}",
            ACT_NOW,
            f"The water treated with {watch.name} is not the one the course was opened for: a "
            "valve was opened or closed.",
            "Shut the valve if animals outside may be reached; then look at the course.",
            watch.course_key,
        )
    if watch.bath_ends_at is not None and at > watch.bath_ends_at:
        yield _seen(
            f"bath-over-time:{watch.bath_key}",
            ACT_NOW,
            f"The bath of {watch.name} is past its minutes.",
            "Take the animals out or flush the tank now, then end the bath.",
            watch.bath_key,
        )
    due = next_reading_at(watch)
    if due is not None and at > due + UNTIL_RUNNING:
        yield _seen(
            f"level-not-read:{watch.course_key}",
            TODAY,
            f"The level of {watch.name} was not read in time: the clock may stand still.",
            "Read the level.",
            watch.course_key,
        )


def _level(watch: Watch) -> Iterator[Seen]:
    if watch.read_low is None or watch.read_high is None or not watch.is_open:
        return
    told = f"{watch.name} was last read as {_span(watch)} {watch.unit}"
    if watch.high is not None and watch.read_high > watch.high:
        yield _seen(
            f"level-above:{watch.course_key}",
            ACT_NOW,
            f"{told}: above the window, which ends at {written(watch.high)}.",
            "Change water until it is inside, and watch the animals.",
            watch.read_key,
        )
    elif watch.low is not None and watch.read_low < watch.low and not watch.is_clearing:
        yield _seen(
            f"level-below:{watch.course_key}",
            TODAY,
            f"{told}: below the window from {written(watch.low)}, so it is not treating.",
            "Top up to the target.",
            watch.read_key,
        )


def _span(watch: Watch) -> str:
    if watch.read_low == watch.read_high:
        return written(watch.read_low)
    return f"{written(watch.read_low)} to {written(watch.read_high)}"


def _seen(rule: str, level: int, sentence: str, advice: str, evidence: str) -> Seen:
    name, _, key = rule.partition(":")
    return Seen(
        # A rule's name is short: the first part of the row's own number tells courses apart.
        rule=f"{name}:{key.rpartition(':')[2][:13]}",
        level=level,
        sentence=sentence,
        advice=advice,
        source=_SOURCE,
        evidence=(evidence,),
    )
