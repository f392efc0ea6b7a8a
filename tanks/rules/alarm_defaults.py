"""The alarm rules a new site starts with: rules of thumb as data, each with where it comes from.

Amounts are in canonical units. A site changes the figures of any rule, or ends it.
"""

from collections.abc import Iterator
from typing import Any, Final

from tanks.rules.alarm_sightings import QUICK, REPORTED, STILL
from tanks.rules.alarm_sources import SOURCES
from tanks.rules.alarm_values import (
    ALKALINITY,
    AMMONIA,
    BALANCE,
    DAY,
    FREE_LADDER,
    LADDER,
    LIMIT,
    LOGGED,
    NITRITE_LADDER,
    RATE,
    READ_BOTH,
    AlarmValues,
)
from tanks.rules.defaults import FRESH, PRACTICE, STOCKED, UNIONISED, Origin

# Names the set as a whole; a new rule in it makes a new edition.
EDITION: Final = "Penstock, November 2026"

_BANDED: Final[tuple[tuple[str, str, int, dict[str, Any], Origin], ...]] = (
    ("TAN", "TAN beyond its limit", 1, {"dead_band_share": 0.2}, PRACTICE),
    (
        UNIONISED,
        "Un-ionised ammonia above its limit",
        1,
        {"dead_band_share": 0.2, "ladder": FREE_LADDER},
        LADDER,
    ),
    (
        "NITRITE",
        "Nitrite above its limit",
        1,
        {"dead_band_share": 0.2, "ladder": NITRITE_LADDER},
        LADDER,
    ),
    ("NITRATE", "Nitrate above its limit", 3, {"dead_band_share": 0.1}, PRACTICE),
    ("PH", "pH beyond its limits", 1, {"dead_band": 0.1}, PRACTICE),
    ("ALKALINITY", "Alkalinity below its limit", 1, {"dead_band_share": 0.1}, ALKALINITY),
    ("TEMPERATURE", "Temperature beyond its limits", 1, {"dead_band": 0.3}, PRACTICE),
    ("SALINITY", "Salinity beyond its limits", 1, {"dead_band": 0.3}, PRACTICE),
    ("OXYGEN", "Oxygen below its limit", 1, {"dead_band_share": 0.05}, PRACTICE),
    ("CHLORINE", "Total chlorine above its limit", 1, {"dead_band_share": 0.2}, PRACTICE),
)
_AMMONIA: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="ph-rising-with-tan",
        title="pH rising while TAN is present",
        looks_for="TOGETHER",
        parameter="PH",
        stage=STOCKED,
        level=1,
        figures={"rise": 0.2, "hours": 168, "with": "TAN", "with_above": 0.1, "with_hours": 72},
        advice="Bring TAN down before anything raises pH further; stop feeding till it has fallen.",
        origin=BALANCE,
    ),
    AlarmValues(
        code="temperature-rising-with-tan",
        title="Temperature rising while TAN is present",
        looks_for="TOGETHER",
        parameter="TEMPERATURE",
        stage=STOCKED,
        level=2,
        figures={"rise": 1.0, "hours": 48, "with": "TAN", "with_above": 0.1, "with_hours": 72},
        advice="Hold the temperature and bring TAN down: warmth makes more of it un-ionised.",
        origin=BALANCE,
    ),
    AlarmValues(
        code="nitrite-rising-without-tan",
        title="Nitrite rising with no TAN",
        looks_for="TOGETHER",
        parameter="NITRITE",
        stage=STOCKED,
        level=2,
        figures={
            "rise": 0.1,
            "hours": 96,
            "with": "TAN",
            "with_above": 0.1,
            "with_absent": True,
            "with_hours": 72,
        },
        advice="Look at pH and oxygen, and for what reached the filter; feed less; test daily.",
    ),
    AlarmValues(
        code="tan-in-clear-water",
        title="TAN in a water clear of it for 14 days",
        looks_for="REAPPEARS",
        parameter="TAN",
        stage=STOCKED,
        level=2,
        figures={"days": 14, "above": 0.1, "act_now_ph": 8, "act_now_free": 0.05},
        advice="Look for what died and for what changed in 48 hours; feed less; test again today.",
        origin=AMMONIA,
    ),
    AlarmValues(
        code="nitrite-in-clear-water",
        title="Nitrite in a water clear of it for 14 days",
        looks_for="REAPPEARS",
        parameter="NITRITE",
        stage=STOCKED,
        level=2,
        figures={"days": 14, "above": 0.06},
        advice="Look today for what harmed the filter: a drug, drying, cleaning, lost power.",
    ),
)


_MOVING: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="temperature-rate",
        title="Temperature moving faster than 1 °C an hour",
        looks_for="CHANGE",
        parameter="TEMPERATURE",
        level=1,
        figures={
            "per_hour": 1.0,
            "hours": 6,
            "explained_by": ["water-change"],
            "explained_hours": 3,
        },
        advice="Look at heater, chiller and flow now.",
        origin=RATE,
    ),
    AlarmValues(
        code="temperature-off-usual",
        title="Temperature off its usual and moving away",
        looks_for="OFF_USUAL",
        parameter="TEMPERATURE",
        stage=STOCKED,
        level=1,
        figures={
            "by": 1.0,
            "days": 14,
            "fresh_hours": 12,
            "explained_by": ["water-change"],
            "explained_hours": 6,
        },
        advice="Look at heater, chiller and room; shade or insulate; test again within the hour.",
        origin=RATE,
    ),
    AlarmValues(
        code="temperature-day",
        title="Temperature up 2 °C or down 1 °C in a day",
        looks_for="CHANGE",
        parameter="TEMPERATURE",
        stage=STOCKED,
        level=2,
        figures={"rise": 2.0, "fall": 1.0, "hours": 24},
        advice="Bring it back slowly, and find what changed in the room.",
        origin=DAY,
    ),
    AlarmValues(
        code="ph-fall",
        title="pH down 0.3 or more in a day",
        looks_for="CHANGE",
        parameter="PH",
        water_kind=FRESH,
        level=2,
        figures={"fall": 0.3, "hours": 24},
        advice="Test alkalinity and the source water before anything is added.",
    ),
    AlarmValues(
        code="alkalinity-fall",
        title="Alkalinity down 30 % in a week",
        looks_for="CHANGE",
        parameter="ALKALINITY",
        stage=STOCKED,
        level=2,
        figures={"fall_share": 0.30, "hours": 168},
        advice="Raise it in steps before the pH falls; with TAN present bring TAN down first.",
        origin=ALKALINITY,
    ),
    AlarmValues(
        code="salinity-day",
        title="Salinity moved 1 g/kg in a day, and nothing logged explains it",
        looks_for="CHANGE",
        parameter="SALINITY",
        level=2,
        figures={"rise": 1.0, "fall": 1.0, "hours": 24} | LOGGED,
        advice="Look at the top-up, for leaks and at the meter.",
    ),
    AlarmValues(
        code="salinity-week",
        title="Salinity drifted up 0.5 g/kg in a week",
        looks_for="CHANGE",
        parameter="SALINITY",
        level=3,
        figures={"rise": 0.5, "hours": 168} | LOGGED,
        advice="Look whether evaporation is topped up with salt water.",
    ),
    AlarmValues(
        code="nitrate-gain",
        title="Nitrate gaining more than twice its usual",
        looks_for="GAIN",
        parameter="NITRATE",
        stage=STOCKED,
        level=3,
        figures={"times": 2.0, "least": 0.5, "hours": 336},
        advice="Look for something dead behind the decoration, for overfeeding and at the tap.",
    ),
)


_SILENCE: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="test-missing",
        title="A due test was not done",
        looks_for="MISSING",
        level=3,
        figures={"share": 0.25, "today_share": 1.0},
        advice="Do the test, or answer the task with the reason.",
    ),
    AlarmValues(
        code="same-reading",
        title="A reading the same as the last three, to the digit",
        looks_for="IDENTICAL",
        level=3,
        figures={"readings": 3, "digits": 3},
        advice="Read it once more, and check the instrument.",
    ),
    AlarmValues(
        code="ph-disagrees",
        title="Two vessels of one water 0.3 pH apart",
        looks_for="DISAGREE",
        parameter="PH",
        level=2,
        figures={"by": 0.3, "hours": 4, "fresh_hours": 24},
        advice=READ_BOTH,
    ),
    AlarmValues(
        code="salinity-disagrees",
        title="Two vessels of one water 1 g/kg apart",
        looks_for="DISAGREE",
        parameter="SALINITY",
        level=2,
        figures={"by": 1.0, "hours": 4, "fresh_hours": 24},
        advice=READ_BOTH,
    ),
    AlarmValues(
        code="past-return",
        title="A valve, device or hold past its time",
        looks_for="PAST_RETURN",
        level=2,
        figures={"kinds": ["loan"], "act_now_after_hours": 8},
        advice="Put it right, or say until when it stays.",
    ),
    AlarmValues(
        code="hose-running",
        title="A hose or fill running past its time",
        looks_for="PAST_RETURN",
        level=1,
        figures={"kinds": ["hose"]},
        advice="Go and turn it off now.",
    ),
)


def alarm_rules() -> tuple[AlarmValues, ...]:
    """Return every rule a new site starts with."""
    return (*_limits(), *_AMMONIA, *_MOVING, *_SILENCE, *QUICK, *STILL, *REPORTED, *SOURCES)


def _limits() -> Iterator[AlarmValues]:
    """The site's own limits, with a dead band, at once where the limit asks for action now."""
    for parameter, title, level, figures, origin in _BANDED:
        yield AlarmValues(
            code=f"{parameter.lower().replace('_', '-')}-limit",
            title=title,
            looks_for="LEVEL",
            parameter=parameter,
            level=level,
            figures=LIMIT | figures,
            advice="Test again; then act by the limit's advice.",
            origin=origin,
        )
