"""Shipped alarm rules about source waters: told from their usual, before they are used. Pure.

How far is far is common practice, no source: a step that a keeper would not pour unread.
"""

from typing import Final

from tanks.rules.alarm_values import AlarmValues
from tanks.rules.defaults import Origin

_PULSE: Final = Origin(
    source="Common practice, no source; animals were lost to a pulse from the waterworks"
)
_HOLD: Final = (
    "Hold this water. Treat it for what it reads now, not for the usual; test what was filled "
    "from it since."
)
_FAR: Final = (
    ("CHLORINE", "Total chlorine of a source water", 0.3),
    ("TAN", "TAN of a source water", 0.2),
    ("PH", "pH of a source water", 0.5),
    ("ALKALINITY", "Alkalinity of a source water", 1.0),
    ("NITRATE", "Nitrate of a source water", 2.5),
    ("SALINITY", "Salinity of a source water", 0.3),
)
SOURCES: Final = tuple(
    AlarmValues(
        code=f"source-{parameter.lower()}",
        title=f"{title} off its median of 30 days",
        looks_for="OFF_MEDIAN",
        parameter=parameter,
        level=2,
        figures={"by": by, "days": 30, "fresh_hours": 24},
        advice=_HOLD,
        origin=_PULSE,
    )
    for parameter, title, by in _FAR
)
