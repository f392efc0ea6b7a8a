"""What befell a treated water: doses, water changes, readings of the agent, ended baths."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Final

from django.db.models import Q, QuerySet

from quarantine.models import BathEnd, Course, LevelReading, TreatmentDose
from quarantine.rules.levels import Changed, Event, Given, Level, Read, curve, level_at
from tanks.models import WaterChange
from tanks.queries.waters import spans_of, within

# What an earlier course of the same agent left counts too.
_LOOK_BACK: Final = timedelta(days=60)


@dataclass(frozen=True, slots=False, kw_only=True)
class History:
    """Everything that moved the level of the course's agent in its water, up to ``at``."""

    course: Course
    at: datetime

    @cached_property
    def doses(self) -> list[TreatmentDose]:
        """Of every course of this agent in this water, oldest first."""
        rows = TreatmentDose.objects.current().filter(
            self._befell("course__vessel"), course__agent__code=self.course.agent.code
        )
        known = rows.select_related("by", "container", "course__vessel__site")
        return list(known.order_by("happened_at", "recorded_at", "pk"))

    @cached_property
    def changes(self) -> list[WaterChange]:
        rows = WaterChange.objects.current().filter(self._befell("vessel"))
        return list(rows.select_related("by").order_by("happened_at", "recorded_at", "pk"))

    @cached_property
    def levels(self) -> list[LevelReading]:
        rows = LevelReading.objects.current().filter(
            self._befell("course__vessel"), course__agent__code=self.course.agent.code
        )
        return list(rows.select_related("by").order_by("happened_at", "recorded_at", "pk"))

    @cached_property
    def ends(self) -> list[BathEnd]:
        rows = BathEnd.objects.current().filter(
            dose__in=[dose.pk for dose in self.doses], happened_at__lte=self.at
        )
        return list(rows.select_related("by").order_by("happened_at", "pk"))

    @cached_property
    def events(self) -> list[Event]:
        return [*self._given(), *self._changed(), *self._read(), *self._ended()]

    @property
    def half_life_h(self) -> float | None:
        half_life_h = self.course.agent.half_life_h
        return None if half_life_h is None else float(half_life_h)

    def level(self) -> Level:
        return level_at(self.events, at=self.at, half_life_h=self.half_life_h)

    def curve(self) -> list[Level]:
        """The level since the course was opened."""
        return curve(
            self.events,
            since=self.course.happened_at,
            until=self.at,
            half_life_h=self.half_life_h,
        )

    def informed_at(self) -> datetime | None:
        """When something was last read or changed that a further dose can rest on."""
        told = [event.at for event in self.events if not isinstance(event, Given)]
        return max(told, default=None)

    def _befell(self, vessel: str) -> Q:
        since = self.course.happened_at - _LOOK_BACK
        until = self.at + timedelta.resolution
        return within(spans_of(self.course.vessel, since=since, until=until), vessel=vessel) & Q(
            happened_at__gte=since, happened_at__lt=until
        )

    def _given(self) -> Iterator[Given]:
        for dose in self.doses:
            rise = float(dose.amount * dose.container.strength / dose.water_litres)
            yield Given(at=dose.happened_at, rise=rise)

    def _changed(self) -> Iterator[Changed]:
        for change in self.changes:
            share = float(change.litres / change.water_litres)
            yield Changed(at=change.happened_at, share=share)

    def _read(self) -> Iterator[Read]:
        for row in self.levels:
            low, high = edges(row)
            yield Read(at=row.happened_at, low=low, high=high)

    def _ended(self) -> Iterator[Read]:
        """With the bath the agent is out of the tank, or the animals are out of the bath."""
        for end in self.ends:
            yield Read(at=end.happened_at, low=0.0, high=0.0)


def edges(row: LevelReading) -> tuple[float, float]:
    """Return from what to what a reading says the level lies."""
    value = float(row.value)
    if row.is_below:
        return 0.0, value
    return value, value if row.upper is None else float(row.upper)


def history(course: Course, *, at: datetime) -> History:
    return History(course=course, at=at)


def related(rows: QuerySet[Course]) -> QuerySet[Course]:
    return rows.select_related(
        "vessel__site", "vessel__area", "agent", "order__by", "by"
    ).prefetch_related("agent__stops")
