"""Forecasts as they were kept, each beside what came of it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any, Final
from uuid import UUID

from facility.sockets.paper import Table
from tanks.models import Cycle, Forecast
from tanks.queries.chart_tables import expected_table, met_table, readings_table
from tanks.queries.cycles import Course
from tanks.rules.calibration import LEVELS, Held, Outcome, Stated, held
from tanks.rules.outlooks import Window, window
from tanks.rules.unready import not_ready_h

_HOUR: Final = timedelta(hours=1)
_DAY_H: Final = 24.0
_PATHS: Final = (
    "as_planned__ready_at_h",
    "as_planned__never_by_horizon",
    "case__now_h",
    "case__ready_definition__horizon_h",
)
_SAYS: Final[dict[Held, str]] = {
    "inside": "inside",
    "early": "the pass came earlier",
    "late": "over before the water was ready",
    "undecided": "not decided",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A forecast as far as lists and scores need it."""

    pk: UUID
    cycle_id: UUID
    made_at: datetime
    now_h: float
    stated: Stated


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A forecast in a list: what it stated, and how its eight in ten did."""

    line: Line
    window: Window
    came: str

    @property
    def day(self) -> float:
        return self.line.now_h / _DAY_H


@dataclass(frozen=True, kw_only=True)
class Kept:
    """One forecast of a start-up. ``told`` is the start-up as it stands now."""

    told: Course
    forecast: Forecast

    @property
    def day(self) -> float:
        hours: float = self.forecast.case["now_h"]
        return hours / _DAY_H

    @property
    def sureness(self) -> str:
        sentence: str = self.forecast.as_planned["sureness"]
        return sentence

    @property
    def as_planned(self) -> Window:
        return window_of(self.forecast, "as_planned", cycle=self.told.cycle)

    @property
    def unbuffered(self) -> Window:
        return window_of(self.forecast, "unbuffered", cycle=self.told.cycle)

    @property
    def read_until(self) -> datetime | None:
        return read_until(self.forecast, cycle=self.told.cycle)

    @property
    def advised(self) -> str:
        why: str = self.forecast.as_planned["next_step"]["why"]
        return why

    @property
    def readings(self) -> Table:
        return readings_table(self.told)

    @property
    def expected(self) -> Table:
        return expected_table(self.forecast)

    @property
    def met(self) -> Table:
        return met_table(self.told, self.forecast)

    @property
    def came_of_it(self) -> list[tuple[str, str]]:
        """Return how each stated interval did."""
        outcome, stated = _outcome(self.told), stated_by(self.forecast)
        return [(f"{level} in 100", _SAYS[held(stated, outcome, level=level)]) for level in LEVELS]


def lines_of(cycles: Iterable[Cycle]) -> list[Line]:
    """Return every forecast of these start-ups, latest first, in one query and without bands."""
    rows = Forecast.objects.filter(cycle__in=list(cycles)).order_by("-made_at", "pk")
    return [_line(row) for row in rows.values("pk", "cycle_id", "made_at", *_PATHS)]


def listed(told: Course, lines: Iterable[Line]) -> list[Listed]:
    outcome = _outcome(told)
    return [
        Listed(
            line=line,
            window=_window(line.stated, now_h=line.now_h, cycle=told.cycle),
            came=_SAYS[held(line.stated, outcome, level=80)],
        )
        for line in lines
    ]


def daily(lines: Iterable[Line]) -> list[Line]:
    """Return the last of each day since the start, in the order given: latest first."""
    return [next(day) for _, day in groupby(lines, key=lambda one: one.now_h // _DAY_H)]


def latest_cases(cycles: Iterable[Cycle]) -> dict[UUID, dict[str, Any]]:
    """Return the case of the latest forecast of each start-up, in one query."""
    rows = Forecast.objects.filter(cycle__in=list(cycles)).order_by("cycle_id", "-made_at", "pk")
    return dict(rows.distinct("cycle_id").values_list("cycle_id", "case"))


def _line(row: dict[str, Any]) -> Line:
    ready_at_h, never, now_h, horizon_h = (row[path] for path in _PATHS)
    return Line(
        pk=row["pk"],
        cycle_id=row["cycle_id"],
        made_at=row["made_at"],
        now_h=now_h,
        stated=Stated(ready_at_h=ready_at_h, never=never, horizon_h=horizon_h),
    )


def _window(stated: Stated, *, now_h: float, cycle: Cycle) -> Window:
    return window(
        {"ready_at_h": stated.ready_at_h, "never_by_horizon": stated.never},
        started_at=cycle.started_at,
        now_h=now_h,
        horizon_h=stated.horizon_h,
        zone=cycle.vessel.site.zone,
    )


def window_of(forecast: Forecast, plan: str, *, cycle: Cycle) -> Window:
    return _window(stated_by(forecast, plan), now_h=forecast.case["now_h"], cycle=cycle)


def read_until(forecast: Forecast, *, cycle: Cycle) -> datetime | None:
    """Return when the latest reading that the forecast knows of was taken."""
    hours = [reading["t_h"] for reading in forecast.case["readings"]]
    return cycle.started_at + timedelta(hours=max(hours)) if hours else None


def stated_by(forecast: Forecast, plan: str = "as_planned") -> Stated:
    answer = getattr(forecast, plan)
    return Stated(
        ready_at_h=answer["ready_at_h"],
        never=answer["never_by_horizon"],
        horizon_h=forecast.case["ready_definition"]["horizon_h"],
    )


def passed_at(told: Course) -> datetime | None:
    """Return when the challenge began that first passed, as judged from what is now held true."""
    passes = (one.challenge.dose.happened_at for one in told.challenges if one.passed)
    return next(passes, None)


def outcome_of(
    cycle: Cycle, *, passed_at: datetime | None, known_at: datetime, case: Mapping[str, Any] | None
) -> Outcome:
    """Return what came of a start-up, as far as it is known at ``known_at`` or its end.

    ``case`` is that of its latest forecast: the readings that show it not ready.
    """
    until = min(known_at, cycle.ended_at or known_at)
    known_h = (until - cycle.started_at) / _HOUR
    passed_h = (passed_at - cycle.started_at) / _HOUR if passed_at else None
    return Outcome(
        passed_h=passed_h,
        not_ready_h=not_ready_h(case, until_h=passed_h or known_h) if case else 0.0,
        known_h=known_h,
        is_seeded=cycle.seed != Cycle.Seed.NONE,
    )


def _outcome(told: Course) -> Outcome:
    case = latest_cases([told.cycle]).get(told.cycle.pk)
    return outcome_of(told.cycle, passed_at=passed_at(told), known_at=told.at, case=case)
