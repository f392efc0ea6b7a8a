"""What a water in start-up asks of its keepers today. Pure; days are the site's own.

That work of a day is due by evening, and how often each test is made, is common practice, no
source.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Final

from facility.rules.wording import day_and_time
from tanks.rules.feeding import Redose, fed_again_by
from tanks.rules.measured import Measured, latest
from tanks.rules.plans import TESTS, Test
from tanks.rules.proof import MIXED_AFTER, START_BEFORE
from tanks.rules.requirements import MET
from tanks.rules.values import PARAMETERS

BY_EVENING: Final = time(18)
_NAMES: Final = {
    "TAN": "TAN",
    "NITRITE": "nitrite",
    "PH": "pH",
    "ALKALINITY": "alkalinity",
    "NITRATE": "nitrate",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One thing to do; ``way`` names the page it is done on, ``parameters`` what it reads."""

    key: str
    title: str
    why: str
    due_at: datetime
    way: str
    parameters: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """A challenge under way: its dose, when it ends, and whether its start was read."""

    dosed_at: datetime
    ends_at: datetime
    is_start_read: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """What is known of one start-up on one day.

    ``lapses_at`` is set while a certified feed is in force; ``is_stocked`` ends the feeding.
    """

    at: datetime
    zone: tzinfo
    started_at: datetime
    readings: tuple[Measured, ...]
    has_dose: bool
    redose: Redose
    running: Running | None
    fed_at: datetime | None
    lapses_at: datetime | None
    is_stocked: bool

    @property
    def today(self) -> date:
        return self.at.astimezone(self.zone).date()


def duties(day: Day) -> Iterator[Duty]:
    """Yield what is due by the end of this day, and what was due before."""
    if day.is_stocked:
        return
    if day.lapses_at is not None:
        yield from _keep_fed(day, day.lapses_at)
        return
    yield from _tests(day)
    if day.running is not None:
        yield from _challenge(day, day.running)
    else:
        yield from _dose(day)


def is_due(moment: datetime, *, at: datetime, zone: tzinfo) -> bool:
    """Tell whether the moment's day has come, by the site's clock."""
    return moment.astimezone(zone).date() <= at.astimezone(zone).date()


def _tests(day: Day) -> Iterator[Duty]:
    due = {test: _due_on(day, test) for test in TESTS}
    open_tests = [test for test in TESTS if due[test] <= day.today]
    if open_tests:
        names = _listed(_NAMES[test.parameter] for test in open_tests)
        yield Duty(
            key="test",
            title=f"Read {names}",
            why=f"{PARAMETERS[open_tests[0].parameter]} {open_tests[0].why}.",
            due_at=_evening(min(due[test] for test in open_tests), day.zone),
            way="log-readings",
            parameters=frozenset(test.parameter for test in open_tests),
        )


def _due_on(day: Day, test: Test) -> date:
    reading = latest(test.parameter, day.readings)
    if reading is None:
        return day.started_at.astimezone(day.zone).date()
    return reading.at.astimezone(day.zone).date() + timedelta(days=test.every_days)


def _challenge(day: Day, running: Running) -> Iterator[Duty]:
    start_by = running.dosed_at + START_BEFORE
    if not running.is_start_read and day.at <= start_by:
        yield Duty(
            key="challenge-start",
            title="Read TAN of the challenge after mixing",
            why=f"Half an hour to two hours after the dose, from "
            f"{day_and_time(running.dosed_at + MIXED_AFTER, zone=day.zone)}.",
            due_at=start_by,
            way="log-readings",
        )
    if is_due(running.ends_at, at=day.at, zone=day.zone):
        yield Duty(
            key="challenge-end",
            title="Read TAN, nitrite and pH at the end of the challenge",
            why="Two hours either way of the hour still count.",
            due_at=running.ends_at,
            way="log-readings",
        )


def _dose(day: Day) -> Iterator[Duty]:
    if not day.has_dose:
        yield Duty(
            key="first-dose",
            title="Finish the preparation, seed and give the first ammonia dose",
            why="No ammonia has been dosed yet; the plan says how much.",
            due_at=_evening(day.started_at.astimezone(day.zone).date(), day.zone),
            way="plan",
        )
    elif day.redose.state == MET:
        yield Duty(
            key="redose",
            title=f"Dose {day.redose.amount_mg_l_n:g} mg/L-N of ammonia",
            why=day.redose.sentence,
            due_at=_evening(day.today, day.zone),
            way="log-dose",
        )


def _keep_fed(day: Day, lapses_at: datetime) -> Iterator[Duty]:
    due_at = fed_again_by(day.fed_at or day.started_at)
    if is_due(due_at, at=day.at, zone=day.zone):
        lapse = day_and_time(lapses_at, zone=day.zone)
        yield Duty(
            key="keep-fed",
            title="Feed the filter ammonia",
            why=f"The certified feed lapses on {lapse} if nobody does.",
            due_at=due_at,
            way="log-dose",
        )


def _evening(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, BY_EVENING, tzinfo=zone)


def _listed(names: Iterable[str]) -> str:
    *most, final = names
    return f"{', '.join(most)} and {final}" if most else final
