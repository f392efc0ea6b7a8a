"""Why a message about an alert goes out, when it is tried again, and in which words. Pure."""

from collections.abc import Sequence
from datetime import timedelta
from typing import Final

from facility.rules.alerts import ACT_NOW, TODAY
from facility.rules.calling import calls_everybody

RAISED, WORSE, ESCALATED, REMINDED = "raised", "worse", "escalated", "reminded"
ACCEPTED, CLEARED = "accepted", "cleared"
# Nobody is called by these two; machines that follow the alert are told.
TOLD_TO_MACHINES: Final = frozenset({ACCEPTED, CLEARED})

_PAUSES: Final = tuple(timedelta(minutes=minutes) for minutes in (1, 2, 5, 15, 60))
_LONGEST: Final = 500

_LEVELS: Final = {ACT_NOW: "Act now", TODAY: "Today"}
_STEPS: Final = {
    WORSE: "Has become worse.",
    ESCALATED: "Nobody has accepted this yet.",
    REMINDED: "Still nobody has accepted this.",
}


def pause_after(tries: int) -> timedelta | None:
    """How long to wait after that many tries have failed; None: give up."""
    return _PAUSES[tries - 1] if tries <= len(_PAUSES) else None


def step_of(escalations: int) -> str:
    """The step that follows so many escalations: backup, managers, then everybody again."""
    return REMINDED if calls_everybody(escalations) else ESCALATED


def words_of(
    *, step: str, level: int, name: str, sentences: Sequence[str], advice: str, by: str = ""
) -> str:
    """Compose the message: how pressing, where, what was seen, what to do; 500 characters."""
    if step in TOLD_TO_MACHINES:
        return f"{name}: {step}{f' by {by}' if by else ''}."
    told = [f"{_LEVELS.get(level, 'Watch')}: {name}.", _STEPS.get(step, ""), *sentences, advice]
    text = " ".join(part for part in told if part)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 1]}…"
