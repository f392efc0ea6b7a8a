"""When a message about an alert goes out, when it is tried again, and in which words. Pure."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, TODAY

RAISED, WORSE, ESCALATED, REMINDED = "raised", "worse", "escalated", "reminded"
ACCEPTED, CLEARED = "accepted", "cleared"
# Nobody is called by these two; machines that follow the alert are told.
TOLD_TO_MACHINES: Final = frozenset({ACCEPTED, CLEARED})

_PAUSES: Final = tuple(timedelta(minutes=minutes) for minutes in (1, 2, 5, 15, 60))
# Decided here: ten minutes are too long for a tank without air, and shorter than a walk round.
ANSWER_WITHIN: Final = timedelta(minutes=10)
REMIND_EVERY: Final = timedelta(minutes=30)
_CALLS_AT_MOST: Final = 48
# The backup, then the managers.
_BEHIND: Final = 2
# Where no shift is written down. Common practice, no source.
USUAL_SHIFT: Final = timedelta(hours=8)
# More calls in a shift are not heard any more: decided here, as the weekly view's aim.
MOST_IN_A_SHIFT: Final = 5
_LONGEST: Final = 500

_LEVELS: Final = {ACT_NOW: "Act now", TODAY: "Today"}
_STEPS: Final = {
    WORSE: "Has become worse.",
    ESCALATED: "Nobody has accepted this yet.",
    REMINDED: "Still nobody has accepted this.",
}
HELD_BACK: Final = (
    f"Not sent: {MOST_IN_A_SHIFT} messages went this way within {USUAL_SHIFT.seconds // 3600} "
    "hours, and this one asks for nothing at once. It stands on the list."
)


def pause_after(tries: int) -> timedelta | None:
    """How long to wait after that many tries have failed; None: give up."""
    return _PAUSES[tries - 1] if tries <= len(_PAUSES) else None


def next_call_at(
    *, level: int, escalations: int, called_at: datetime, shift_ends_at: datetime | None
) -> datetime | None:
    """When the next one is called unless somebody accepts; None: nobody more.

    Act now: after ten minutes the backup, after ten more the managers, then all again every
    half hour for a day. Today: once, when the shift ends.
    """
    if level == ACT_NOW and escalations < _CALLS_AT_MOST:
        return called_at + (ANSWER_WITHIN if escalations < _BEHIND else REMIND_EVERY)
    if level == TODAY and not escalations:
        return shift_ends_at or called_at + USUAL_SHIFT
    return None


def step_of(escalations: int) -> str:
    """The step that follows so many escalations: backup, managers, then everybody again."""
    return ESCALATED if escalations < _BEHIND else REMINDED


def is_held_back(*, level: int, sent_lately: int) -> bool:
    """Whether a message would be one too many; what asks for action now always goes out."""
    return level != ACT_NOW and sent_lately >= MOST_IN_A_SHIFT


def words_of(
    *, step: str, level: int, name: str, sentences: Sequence[str], advice: str, by: str = ""
) -> str:
    """Compose the message: how pressing, where, what was seen, what to do; 500 characters."""
    if step in TOLD_TO_MACHINES:
        return f"{name}: {step}{f' by {by}' if by else ''}."
    told = [f"{_LEVELS.get(level, 'Watch')}: {name}.", _STEPS.get(step, ""), *sentences, advice]
    text = " ".join(part for part in told if part)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
