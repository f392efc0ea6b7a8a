"""What the page of a course shows: chart, table, what is to be done next."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from operator import attrgetter
from typing import Any

from facility.rules.wording import written
from quarantine.models import Course, LevelReading, TreatmentDose
from quarantine.queries.books import Held, lots_in
from quarantine.queries.course_events import History, edges, history
from quarantine.queries.courses import CourseStanding, standing
from quarantine.queries.guarding import animals_of
from quarantine.queries.treatment_signs import bath_ends_at, watch_of_standing
from quarantine.rules.course_chart import Chart, Point, chart
from quarantine.rules.guard_animals import forbidden_here
from quarantine.rules.guard_facts import Regime, Stopped
from quarantine.rules.hazards import Card, cards_named
from quarantine.rules.levels import redose
from quarantine.rules.therapeutic import SAYS
from quarantine.rules.treatment_watch import next_reading_at
from tanks.models import Device, Incident
from tanks.queries.acts import latest_cycle_in
from tanks.queries.devices import running
from tanks.queries.waters import Water, water_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the table: what happened, in words, and the level then."""

    at: datetime
    what: str
    by: Any
    level: str
    level_id: Any = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoursePage:
    stands: CourseStanding
    water: Water
    is_same_water: bool
    held: list[Held]
    rows: list[Row]
    chart: Chart | None
    restore: float | None
    top_up: float | None
    next_reading_at: datetime | None
    bath_ends_at: datetime | None
    devices_on: list[Device]
    is_filter_untold: bool
    cards: tuple[Card, ...]

    @property
    def restore_told(self) -> str:
        return f"{written(self.restore)} {self.stands.course.agent.unit}"

    @property
    def top_up_told(self) -> str:
        return f"{written(self.top_up)} {self.stands.course.agent.unit}"


def course_page(course: Course, *, at: datetime) -> CoursePage:
    stands = standing(course, at=at)
    past = history(course, at=at)
    water = water_of(course.vessel, at=at)
    watch = watch_of_standing(stands, water.member_ids)
    return CoursePage(
        stands=stands,
        water=water,
        is_same_water=watch.is_same_water,
        held=lots_in(water.member_ids, at=at),
        rows=sorted(_rows(past, stands), key=attrgetter("at"), reverse=True),
        chart=_chart(past, stands) if past.doses or past.levels else None,
        restore=to_restore(past, stands),
        top_up=_top_up(past, stands),
        next_reading_at=next_reading_at(watch),
        bath_ends_at=bath_ends_at(stands.running_bath) if stands.running_bath else None,
        devices_on=_devices(course, water),
        is_filter_untold=stands.last_dose_at is not None and _is_untold(course, water),
        cards=cards_named(course.agent.cards),
    )


def to_restore(past: History, stands: CourseStanding) -> float | None:
    """The rise that puts back what changes since the last dose or reading took."""
    if not stands.is_open or stands.is_clearing or past.course.agent.is_bath:
        return None
    moments = [dose.happened_at for dose in past.doses] + [row.happened_at for row in past.levels]
    if not moments or not past.doses:
        return None
    left = 1.0
    for change in past.changes:
        if change.happened_at > max(moments):
            left *= 1 - float(change.litres / change.water_litres)
    return redose(target=float(past.course.target), share=1 - left) or None


def forbidden_in(water: Water, regime: Regime) -> list[Stopped]:
    """Who lives there and does not bear the agent: told before a course is opened."""
    held = lots_in(water.member_ids, at=water.at)
    return list(forbidden_here(tuple(animals_of(held, at=water.at)), regime))


def _is_untold(course: Course, water: Water) -> bool:
    """Whether a biofilter that was started up got the agent, and no incident says so yet."""
    told = Incident.objects.current().filter(
        vessel__in=water.member_ids,
        kind=Incident.Kind.DISINFECTANT,
        happened_at__gte=course.happened_at,
    )
    return latest_cycle_in(water) is not None and not told.exists()


def _devices(course: Course, water: Water) -> list[Device]:
    """Those that run and take the agent out."""
    return [
        one.device
        for one in running(water.member_ids, at=water.at)
        if one.is_on and one.device.kind in course.agent.devices_off
    ]


def _top_up(past: History, stands: CourseStanding) -> float | None:
    """The rise from what was last read or reckoned to the target, if it is below the window."""
    low, target = past.course.low, float(past.course.target)
    if not stands.is_open or stands.is_clearing or past.course.agent.is_bath or low is None:
        return None
    middle = stands.level.middle
    return target - middle if past.doses and middle < float(low) else None


def _rows(past: History, stands: CourseStanding) -> Iterator[Row]:
    course, unit = past.course, past.course.agent.unit
    for dose in past.doses:
        if dose.course_id == course.pk:
            yield Row(at=dose.happened_at, what=_dose(dose), by=dose.by, level="")
    for change in past.changes:
        if change.happened_at >= course.happened_at:
            share = float(change.litres / change.water_litres)
            what = f"{written(change.litres)} L changed, {share * 100:.0f} % of this water"
            yield Row(at=change.happened_at, what=what, by=change.by, level="")
    for row in past.levels:
        if row.course_id == course.pk:
            what = f"Read with {row.method}"
            level = f"{told(row)} {unit}"
            yield Row(at=row.happened_at, what=what, by=row.by, level=level, level_id=row.pk)
    for end in past.ends:
        yield Row(at=end.happened_at, what="Bath over", by=end.by, level="")
    yield from _marks(stands)


def _marks(stands: CourseStanding) -> Iterator[Row]:
    if stands.clock:
        for event in stands.clock.events:
            yield Row(at=event.at, what=SAYS[event.what], by=None, level="")
    for step in stands.course.steps.all():
        note = f": {step.note}" if step.note else ""
        yield Row(
            at=step.happened_at, what=f"{step.get_kind_display()}{note}", by=step.by, level=""
        )


def told(row: LevelReading) -> str:
    value = written(row.value)
    if row.is_below:
        return f"<{value}"
    return value if row.upper is None else f"{value}-{written(row.upper)}"


def _dose(dose: TreatmentDose) -> str:
    minutes = f", for {dose.minutes} min" if dose.minutes else ""
    return (
        f"{dose.get_intent_display()}: {written(dose.amount)} {dose.unit} of "
        f"{dose.container.name}, batch {dose.container.batch}, for {written(dose.rise)} "
        f"{dose.course.agent.unit}{minutes}"
    )


def _chart(past: History, stands: CourseStanding) -> Chart:
    course = past.course
    window = None
    if course.low is not None and course.high is not None:
        window = (float(course.low), float(course.high))
    return chart(
        since=course.happened_at,
        until=min(past.at, stands.cleared_at or past.at),
        levels=[Point(at=one.at, low=one.low, high=one.high) for one in past.curve()],
        reads=[
            Point(at=row.happened_at, low=edges(row)[0], high=edges(row)[1], told=told(row))
            for row in past.levels
            if row.course_id == course.pk
        ],
        doses=[
            Point(at=dose.happened_at, low=0.0, high=0.0, told=_dose(dose))
            for dose in past.doses
            if dose.course_id == course.pk
        ],
        window=window,
    )
