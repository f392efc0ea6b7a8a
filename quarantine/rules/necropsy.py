"""How long a carcass is worth opening. Pure.

Best freshly dead or within an hour (a fish practice's page on autopsies, found); cooled, up to a
day, gills and gut go first (George and others 2016, PeerJ, found). Frozen ones still serve for
some laboratory tests: common practice, no source.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

BEST: Final = timedelta(hours=1)
COOLED: Final = timedelta(hours=24)
SOURCES: Final = (
    "Within 1 h: a fish practice's page on autopsies. Cooled up to 24 h: George and others 2016, "
    "PeerJ; gills and gut go first."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """``until`` None: no clock runs. ``sentence`` says what to do by when."""

    until: datetime | None
    sentence: str

    def is_open(self, at: datetime) -> bool:
        return self.until is not None and at < self.until


def necropsy_clock(*, found_at: datetime, carcass: str, is_opened: bool) -> Clock:
    """The clock of a carcass found at a moment, by where it is now."""
    if is_opened:
        return Clock(until=None, sentence="Opened.")
    match carcass:
        case "NECROPSY":
            return Clock(until=found_at + BEST, sentence="Open it within an hour, or cool it now.")
        case "COOLED":
            return Clock(
                until=found_at + COOLED, sentence="Cooled: open it within a day of finding it."
            )
        case "FROZEN":
            return Clock(
                until=None, sentence="Frozen: ask the laboratory what it still serves for."
            )
        case "FIXED":
            return Clock(until=None, sentence="Fixed: no clock runs.")
        case _:
            return Clock(until=None, sentence="Not kept for a necropsy.")
