"""What is usually done about a reading out of range, and when it is read again. Pure.

Offered as taps beside a note in one's own words. Which acts belong to which parameter, and the
times, are common practice, no source; no text was found that names an hour.
"""

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from tanks.rules.limits import UNIONISED

ACTIONS: Final = {
    "water-change": "Changed water",
    "fed-less": "Fed less",
    "fed-nothing": "Stopped feeding",
    "took-out-dead": "Took out what was dead or rotten",
    "checked-filter": "Checked filter, flow and pumps",
    "aerated": "Aerated more",
    "buffered": "Raised alkalinity",
    "checked-source": "Tested the source water",
    "dechlorinated": "Dechlorinated",
    "set-heating": "Set heating or cooling",
    "set-salinity": "Brought salinity back in steps",
    "lowered-load": "Moved animals out",
    "called-veterinarian": "Asked the veterinarian",
    "changed-nothing": "Changed nothing, watched",
    "other": "Something else",
}
_NITROGEN: Final = ("water-change", "fed-less", "fed-nothing", "took-out-dead", "checked-filter")
_EVERYWHERE: Final = ("lowered-load", "called-veterinarian", "changed-nothing", "other")
_USUAL: Final = {
    "TAN": (*_NITROGEN, "aerated"),
    UNIONISED: (*_NITROGEN, "aerated"),
    "NITRITE": (*_NITROGEN, "aerated"),
    "NITRATE": ("water-change", "fed-less", "checked-source"),
    "PH": ("water-change", "buffered", "aerated", "checked-source"),
    "ALKALINITY": ("buffered", "water-change", "checked-source"),
    "TEMPERATURE": ("set-heating", "checked-filter"),
    "SALINITY": ("set-salinity", "water-change"),
    "OXYGEN": ("aerated", "checked-filter", "fed-nothing", "took-out-dead"),
    "CHLORINE": ("dechlorinated", "water-change", "checked-source"),
}
# What says nothing by itself.
NEEDS_NOTE: Final = frozenset({"other"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """From the act until the retest is due, and until it is late; it counts from at once on."""

    due_after: timedelta
    late_after: timedelta


# By the level of the limit: act now, or today.
_WINDOWS: Final = {
    1: Window(due_after=timedelta(hours=2), late_after=timedelta(hours=2)),
    2: Window(due_after=timedelta(hours=24), late_after=timedelta(hours=12)),
}
MINUTES: Final = 15


def usual(parameter: str) -> list[tuple[str, str]]:
    """Code and words of the acts offered for a parameter, the usual ones first."""
    return [(code, ACTIONS[code]) for code in (*_USUAL[parameter], *_EVERYWHERE)]


def window(level: int) -> Window:
    return _WINDOWS[level]


def said(action: str, note: str) -> str:
    """The act in words, with what was noted."""
    words = ACTIONS.get(action, action)
    return f"{words}: {note}" if note else words
