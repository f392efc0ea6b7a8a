"""What the page of a start-up says: stage, forecast, next step, proof, story."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Final

from facility.rules.wording import written
from facility.sockets.paper import Table
from tanks.models import Forecast
from tanks.queries.advising import Advice, advised, by_rule, keep_fed
from tanks.queries.cases import case_of
from tanks.queries.chart_tables import expected_table, readings_table
from tanks.queries.cycles import Course, latest_forecast, latest_forecasts
from tanks.queries.forecasts import read_until, window_of
from tanks.queries.signing import Signable, signable
from tanks.queries.timelines import Told, timeline
from tanks.rules.deviating import WhatIfs, what_ifs
from tanks.rules.outlooks import Cause, Window, causes, without_clock

_PERCENT: Final = 100


@dataclass(frozen=True, kw_only=True)
class Followed:
    """One start-up as its page shows it; each part is worked out when asked for."""

    told: Course
    forecast: Forecast | None

    @property
    def day(self) -> int:
        return (self.told.at - self.told.cycle.started_at) // timedelta(days=1)

    @property
    def protein_percent(self) -> str:
        return written(self.told.cycle.protein_share * _PERCENT)

    @property
    def shown(self) -> str:
        """Which forecast is shown, or nothing while there is none."""
        return str(self.forecast.pk) if self.forecast else ""

    @cached_property
    def is_current(self) -> bool:
        """Whether the forecast was made from the facts as they are now known."""
        if self.forecast is None:
            return False
        case = case_of(self.told.cycle, at=self.told.at)
        return without_clock(self.forecast.case) == without_clock(case)

    @property
    def is_awaited(self) -> bool:
        """Whether a newer forecast is being made: there is something to make one from."""
        is_open = self.told.cycle.ended_at is None
        return is_open and bool(self.told.story.readings) and not self.is_current

    @property
    def as_planned(self) -> Window | None:
        return self._window("as_planned")

    @property
    def unbuffered(self) -> Window | None:
        return self._window("unbuffered")

    @property
    def read_until(self) -> datetime | None:
        """When the latest reading that the forecast knows of was taken."""
        return read_until(self.forecast, cycle=self.told.cycle) if self.forecast else None

    @property
    def sureness(self) -> str:
        return self.forecast.as_planned["sureness"] if self.forecast else ""

    @property
    def causes(self) -> list[Cause]:
        return causes(self.forecast.as_planned["causes"]) if self.forecast else []

    @property
    def what_ifs(self) -> WhatIfs:
        """What leaving the plan would cost; a forecast made before that was asked has none."""
        if self.forecast is None:
            return WhatIfs(departures=[])
        weighed = self.forecast.as_planned.get("deviations", [])
        return what_ifs(weighed, cap_mg_l_n=self.told.terms.tan_cap_mg_l_n)

    @property
    def advice(self) -> Advice | None:
        """The forecast's step; of an older one the rule's, which knows of the latest dose."""
        if self.told.cycle.ended_at is not None:
            return None
        if self.told.is_certified:
            return keep_fed(self.told)
        if self.forecast is None or self._is_overtaken(self.forecast):
            return by_rule(self.told)
        return advised(self.told, self.forecast.as_planned["next_step"])

    @cached_property
    def signable(self) -> Signable | None:
        return signable(self.told)

    @cached_property
    def timeline(self) -> list[Told]:
        return timeline(self.told)

    @property
    def readings(self) -> Table:
        """The chart's marks as words: the latest first."""
        return readings_table(self.told)

    @property
    def expected(self) -> Table | None:
        """The chart's bands as words, at a few days from now."""
        if self.forecast is None:
            return None
        return expected_table(self.forecast)

    def _is_overtaken(self, forecast: Forecast) -> bool:
        """Told without a query, for boards of many: was anything entered since it was made?"""
        return any(fact.recorded_at > forecast.made_at for fact in self.told.story.facts())

    def _window(self, plan: str) -> Window | None:
        if self.forecast is None:
            return None
        return window_of(self.forecast, plan, cycle=self.told.cycle)


def follow(told: Course) -> Followed:
    return Followed(told=told, forecast=latest_forecast(told.cycle))


def follow_all(told: Sequence[Course]) -> list[Followed]:
    """Follow many start-ups with one query more, however many there are."""
    forecasts = latest_forecasts(one.cycle for one in told)
    return [Followed(told=one, forecast=forecasts.get(one.cycle.pk)) for one in told]
