"""The years a moment or a day may lie in."""

from typing import Final

# Beyond, clocks of the zones and sums of days no longer work; nothing here was kept before.
FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2200
OFF_CALENDAR: Final = f"Give a year from {FIRST_YEAR} to {LAST_YEAR}."


def is_on_calendar(year: int) -> bool:
    return FIRST_YEAR <= year <= LAST_YEAR
