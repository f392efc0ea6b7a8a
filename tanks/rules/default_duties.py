"""The duties a house of tanks usually has, as data. Pure.

Every rhythm here is common practice, no source: the sheets of the trade ask for pH, ammonia and
nitrite each week and for more after a disturbance; for a rotating sample of tanks that have
filters of their own; and for nothing that names an hour.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta
from typing import Any, Final

NO_SOURCE: Final = "common practice, no source"
SYSTEM, LONE_TANK, START_UP, CERTIFIED = "SYSTEM", "LONE_TANK", "START_UP", "CERTIFIED"
MECHANICAL, AREA, SITE = "MECHANICAL", "AREA", "SITE"
# Each week a tenth of the tanks with filters of their own: all of them within ten weeks.
ROTATION_WEEKS: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class DefaultDuty:
    """``of`` says what gets one; ``rotates`` spreads its first turns over the weeks."""

    key: str
    of: str
    kind: str
    title: str
    rule: str
    clock: time
    minutes: int
    why: str
    opens_before: timedelta = timedelta(hours=3)
    late_after: timedelta = timedelta(hours=9)
    asks: Mapping[str, Any] = field(default_factory=dict)
    rotates: bool = False


def _readings(*parameters: str) -> dict[str, Any]:
    return {"deeds": ["tanks.log-readings"], "parameters": list(parameters)}


def _why(words: str) -> str:
    return f"{words}: {NO_SOURCE}."


_MORNING: Final = time(9)
_EARLY: Final = time(8)

DEFAULTS: Final = (
    DefaultDuty(
        key="opening-walk",
        of=AREA,
        kind="WALK",
        title="Opening walk: {place}",
        rule="FREQ=DAILY",
        clock=_EARLY,
        minutes=15,
        why=_why("Look, listen and count before anything else"),
        opens_before=timedelta(hours=2),
        late_after=timedelta(hours=2),
        asks={"deeds": ["tanks.log-walk"]},
    ),
    DefaultDuty(
        key="feed",
        of=AREA,
        kind="FEED",
        title="Feed {place} and watch them feed",
        rule="FREQ=DAILY;BYHOUR=9,17",
        clock=_MORNING,
        minutes=20,
        why=_why("Twice a day; who does not eat is looked at"),
        opens_before=timedelta(hours=1),
        late_after=timedelta(hours=2),
    ),
    DefaultDuty(
        key="weekly-test",
        of=SYSTEM,
        kind="TEST",
        title="Read TAN, nitrite and pH of {place}",
        rule="FREQ=WEEKLY;BYDAY=TU",
        clock=_MORNING,
        minutes=20,
        why=_why("Each system each week"),
        asks=_readings("TAN", "NITRITE", "PH"),
    ),
    DefaultDuty(
        key="monthly-test",
        of=SYSTEM,
        kind="TEST",
        title="Read nitrate and alkalinity of {place}",
        rule="FREQ=MONTHLY;BYDAY=1TU",
        clock=_MORNING,
        minutes=15,
        why=_why("Each system each month"),
        asks=_readings("NITRATE", "ALKALINITY"),
    ),
    DefaultDuty(
        key="rotation",
        of=LONE_TANK,
        kind="TEST",
        title="Read TAN, nitrite and pH of {place}",
        rule=f"FREQ=WEEKLY;INTERVAL={ROTATION_WEEKS}",
        clock=_MORNING,
        minutes=15,
        why=_why("A tenth of the tanks with their own filters each week, in rotation"),
        asks=_readings("TAN", "NITRITE", "PH"),
        rotates=True,
    ),
    DefaultDuty(
        key="start-up-test",
        of=START_UP,
        kind="TEST",
        title="Read TAN, nitrite and pH of {place}, in start-up",
        rule="FREQ=DAILY",
        clock=_MORNING,
        minutes=15,
        why=_why("A filter in start-up is read each day"),
        asks=_readings("TAN", "NITRITE", "PH"),
    ),
    DefaultDuty(
        key="keep-fed",
        of=CERTIFIED,
        kind="KEEP_FED",
        title="Keep the filter of {place} fed",
        rule="FREQ=DAILY",
        clock=_MORNING,
        minutes=5,
        why=_why("A proven filter without animals is fed each day, or its proof lapses"),
        asks={"deeds": ["tanks.log-dose", "tanks.log-feeding"]},
    ),
    DefaultDuty(
        key="filter-service",
        of=MECHANICAL,
        kind="SERVICE",
        title="Clean {place}",
        rule="FREQ=WEEKLY;BYDAY=MO",
        clock=time(14),
        minutes=20,
        why=_why("Mechanical filters each week, biological ones never on a day animals arrive"),
    ),
    DefaultDuty(
        key="calibration",
        of=SITE,
        kind="CALIBRATE",
        title="Calibrate the pH, oxygen and salinity probes",
        rule="FREQ=MONTHLY;BYDAY=1MO",
        clock=_MORNING,
        minutes=40,
        why=_why("Each month, and whenever a probe and a kit disagree"),
    ),
    DefaultDuty(
        key="source-water",
        of=SITE,
        kind="SOURCE_WATER",
        title="Test the source water: total chlorine, pH, alkalinity, nitrate",
        rule="FREQ=WEEKLY;BYDAY=MO",
        clock=_MORNING,
        minutes=20,
        why=_why("Mains water changes without notice"),
    ),
    DefaultDuty(
        key="closing",
        of=SITE,
        kind="CLOSING",
        title="Closing list: valves, hoses, lids, lights, pumps, treatment devices",
        rule="FREQ=DAILY",
        clock=time(18, 30),
        minutes=15,
        why=_why("Nothing is left open, off or running overnight"),
        opens_before=timedelta(hours=1),
        late_after=timedelta(hours=1),
        asks={"deeds": ["facility.hand-over"]},
    ),
)


def begins_on(one: DefaultDuty, turn: int, *, today: date) -> date:
    """The day of the first turn; the tanks of a rotation begin one week after another."""
    weeks = turn % ROTATION_WEEKS if one.rotates else 0
    return today + timedelta(weeks=weeks)


def defaults_of(kinds: Iterable[str]) -> list[DefaultDuty]:
    wanted = frozenset(kinds)
    return [one for one in DEFAULTS if one.of in wanted]
