"""Shipped alarm rules about reports, and readings that move fast or stand still. Pure."""

from typing import Final

from tanks.rules.alarm_values import AlarmValues
from tanks.rules.defaults import STOCKED

REPORTED: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="flow-lost",
        title="Power, flow or air lost",
        looks_for="REPORTED",
        level=1,
        figures={"reports": ["incident:POWER_LOSS", "walk:FLOW"], "hours": 24},
        advice="Give air now; then bring flow back. Read oxygen; do not feed till it runs again.",
    ),
    AlarmValues(
        code="level-wrong",
        title="Water level wrong: low, leaking or overflowing",
        looks_for="REPORTED",
        level=1,
        figures={"reports": ["walk:LEVEL"], "hours": 24},
        advice="Go and look now: stop the loss, and keep pumps and heaters under water.",
    ),
    AlarmValues(
        code="circulation-off",
        title="Pump, air supply or biofilter off for half an hour",
        looks_for="REPORTED",
        level=1,
        figures={"reports": ["off:PUMP", "off:AIR", "off:BIOFILTER"], "after_minutes": 30},
        advice="Turn it on again, or give air and flow another way; a filter without flow dies.",
    ),
)
STILL: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="flat-line",
        title="A probe that stands still: ten readings over three days, to the digit",
        looks_for="IDENTICAL",
        level=2,
        figures={"readings": 9, "digits": 3, "lasting_hours": 72, "kinds": ["PROBE"]},
        advice="Read it with another instrument; a dead probe looks like calm water.",
    ),
)
QUICK: Final[tuple[AlarmValues, ...]] = (
    AlarmValues(
        code="oxygen-fall",
        title="Oxygen down 1 mg/L or more within 3 hours",
        looks_for="CHANGE",
        parameter="OXYGEN",
        stage=STOCKED,
        level=1,
        figures={"fall": 1.0, "hours": 3},
        advice="Give air now; look at flow, at feeding and for something dead.",
    ),
    AlarmValues(
        code="tan-rise",
        title="TAN up 0.2 mg/L as N or more within 2 days",
        looks_for="CHANGE",
        parameter="TAN",
        stage=STOCKED,
        level=2,
        figures={"rise": 0.2, "hours": 48},
        advice="Feed less; look for what died and for what changed in 48 hours; test again today.",
    ),
)
