"""When a course counts as cleared: the end level was read, or what was done is told."""

from dataclasses import dataclass

from facility.rules.wording import written


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearing:
    """``read_high`` is of the latest reading of the agent since the last dose."""

    unit: str
    clear_below: float | None
    is_read: bool
    was_given: bool
    is_bath_running: bool
    read_high: float | None


def unclear(clearing: Clearing, *, note: str) -> str:
    """Return why it is not cleared yet, or nothing."""
    if clearing.is_bath_running:
        return "A bath is running: end it first."
    if not clearing.was_given:
        return ""
    if not clearing.is_read or clearing.clear_below is None:
        told = "Say what took the agent out, such as: 3 changes of half, carbon for 48 h."
        return "" if note else told
    below = f"{written(clearing.clear_below)} {clearing.unit}"
    if clearing.read_high is None:
        return f"Read the level first: it must be {below} or less."
    if clearing.read_high > clearing.clear_below:
        return (
            f"The level was last read as up to {written(clearing.read_high)} {clearing.unit}; "
            f"it must be {below} or less."
        )
    return ""
