"""When the next person is called about an alert: the site's figures, and their widest. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, TODAY

# The backup, then the managers.
_BEHIND: Final = 2
PRACTICE: Final = "Common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class CallTimes:
    """How long to wait for somebody, and how often to call.

    ``calls_at_most`` counts every call after the first; ``most_in_a_shift`` is how many
    messages that ask for nothing at once one channel carries within ``usual_shift_h``.
    """

    answer_within_min: int = 10
    remind_every_min: int = 30
    calls_at_most: int = 48
    usual_shift_h: int = 8
    most_in_a_shift: int = 5

    @property
    def usual_shift(self) -> timedelta:
        return timedelta(hours=self.usual_shift_h)


# Decided here: ten minutes are too long for a tank without air, and shorter than a walk round;
# more than five calls in a shift are not heard any more.
USUAL: Final = CallTimes()


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure: its column, its words, its unit and the widest it may be, which is no advice."""

    name: str
    label: str
    unit: str
    low: int
    high: int


FIGURES: Final = (
    Figure(
        name="answer_within_min",
        label="Act now: the backup is called, and then the managers, after",
        unit="min",
        low=1,
        high=240,
    ),
    Figure(
        name="remind_every_min",
        label="Then all of them again, every",
        unit="min",
        low=5,
        high=480,
    ),
    Figure(
        name="calls_at_most",
        label="Calls after the first, at most",
        unit="",
        low=2,
        high=500,
    ),
    Figure(
        name="usual_shift_h",
        label="Today: the backup is called at the end of the shift; where none is written, after",
        unit="h",
        low=1,
        high=24,
    ),
    Figure(
        name="most_in_a_shift",
        label="Messages of level “today” that one channel carries in that time, at most",
        unit="",
        low=1,
        high=100,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OffScale:
    """A figure beyond its widest, and what to write."""

    name: str
    sentence: str


def off_scale(values: Mapping[str, int]) -> Iterator[OffScale]:
    """Yield every figure that is beyond its widest."""
    for figure in FIGURES:
        if not figure.low <= values[figure.name] <= figure.high:
            span = f"{figure.low} to {figure.high} {figure.unit}".strip()
            yield OffScale(name=figure.name, sentence=f"{figure.label}: give {span}.")


def next_call_at(
    times: CallTimes,
    *,
    level: int,
    escalations: int,
    called_at: datetime,
    shift_ends_at: datetime | None,
) -> datetime | None:
    """When the next one is called unless somebody accepts; None: nobody more.

    Act now: the backup, then the managers, then all again and again. Today: once, when the
    shift ends.
    """
    if level == ACT_NOW and escalations < times.calls_at_most:
        is_first_round = escalations < _BEHIND
        minutes = times.answer_within_min if is_first_round else times.remind_every_min
        return called_at + timedelta(minutes=minutes)
    if level == TODAY and not escalations:
        return shift_ends_at or called_at + times.usual_shift
    return None


def calls_everybody(escalations: int) -> bool:
    """Whether backup and managers have been called, so that all are called again."""
    return escalations >= _BEHIND


def is_held_back(times: CallTimes, *, level: int, sent_lately: int) -> bool:
    """Whether a message would be one too many; what asks for action now always goes out."""
    return level != ACT_NOW and sent_lately >= times.most_in_a_shift


def held_back(times: CallTimes) -> str:
    """Say why a message was not sent."""
    went = "message" if times.most_in_a_shift == 1 else "messages"
    return (
        f"Not sent: {times.most_in_a_shift} {went} went this way within {times.usual_shift_h} h, "
        "and this one asks for nothing at once. It stands on the list."
    )
