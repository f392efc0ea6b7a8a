"""Where a task stands at a moment, and what proves one done. Pure."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any, Final

WAITING: Final = "waiting"
OPEN: Final = "open"
LATE: Final = "late"
DONE: Final = "done"
NOT_DONE: Final = "not done"
# Work not asked for any more: its duty was ended before it fell due.
OVER: Final = "over"

# Taps for what is said most; a person's own words go along. Common practice, no source.
WHY_NOT: Final = (
    "No time",
    "Nobody with the skill was on",
    "Kit, reagent or part missing",
    "Tank or device could not be reached",
    "Not needed any more",
)


def state_of(
    *,
    opens_at: datetime,
    late_at: datetime,
    outcome: str | None,
    is_barred: bool,
    at: datetime,
) -> str:
    """Return the state of a task; ``is_barred`` while another must be done first."""
    if outcome is not None:
        return DONE if outcome == "DONE" else NOT_DONE
    if at > late_at:
        return LATE
    return WAITING if is_barred or at < opens_at else OPEN


def proves(
    asks: Mapping[str, Any], lines: Iterable[tuple[str, Sequence[Mapping[str, Any]]]]
) -> bool:
    """Tell whether ledger lines, each a kind with its rows, hold all that ``asks`` asks for.

    ``asks`` of ``{"deeds": [...], "parameters": [...]}``: any of the deeds will do; of rows
    that name a parameter, every one asked for must be there, in one line or in several.
    """
    deeds = frozenset(asks.get("deeds", ()))
    rows = [rows for kind, rows in lines if kind in deeds]
    seen = {row.get("parameter") for each in rows for row in each}
    return bool(rows) and seen.issuperset(asks.get("parameters", ()))
