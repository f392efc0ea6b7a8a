"""Courses of treatment as they stand: open or ended, the clock, the level, cleared or not."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet

from facility.models import Person, Site
from facility.rules.wording import written
from quarantine.models import Course, CourseStep, LevelReading, TreatmentDose
from quarantine.queries.course_events import History, edges, history, related
from quarantine.rules.levels import Level
from quarantine.rules.therapeutic import Read, Standing, Terms, clock
from tanks.models import Vessel


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseStanding:
    """``clock`` is None where the agent is given by baths or has no days to reach.

    ``is_read`` tells whether the clock rests on readings, or only on what was reckoned.
    """

    course: Course
    at: datetime
    level: Level
    clock: Standing | None
    clearing_at: datetime | None
    cleared_at: datetime | None
    abandoned_at: datetime | None
    why_abandoned: str
    last_dose_at: datetime | None
    running_bath: TreatmentDose | None
    read_since_dose: LevelReading | None
    baths: int

    @property
    def name(self) -> str:
        return self.course.agent.name

    @property
    def is_open(self) -> bool:
        return self.cleared_at is None and self.abandoned_at is None

    @property
    def is_cleared(self) -> bool:
        return self.cleared_at is not None

    @property
    def is_clearing(self) -> bool:
        return self.is_open and self.clearing_at is not None

    @property
    def binds(self) -> bool:
        """Until it is cleared nothing of this water is sold or moved, abandoned or not."""
        return not self.is_cleared

    @property
    def ended_at(self) -> datetime | None:
        ends = [at for at in (self.cleared_at, self.abandoned_at) if at is not None]
        return min(ends, default=None)

    @property
    def therapeutic_days(self) -> float:
        """Days the clock counted; 0 for baths."""
        return self.clock.days if self.clock else 0.0

    @property
    def is_reached(self) -> bool:
        return self.clock is None or self.clock.state == "reached"

    @property
    def withdrawn_until(self) -> datetime | None:
        order = self.course.order
        if order is None or not order.withdrawal_days or self.last_dose_at is None:
            return None
        return self.last_dose_at + timedelta(days=order.withdrawal_days)

    @property
    def sentence(self) -> str:
        """What stands beside the tank and the lot in writing."""
        name, tank = self.name, self.course.vessel.code
        if self.is_cleared:
            return f"Treated with {name} in {tank}; cleared."
        if self.abandoned_at is not None:
            return f"Treatment of {tank} with {name} was abandoned, and is not cleared yet."
        if self.is_clearing:
            return f"{tank}: {name} is being cleared."
        days = f", day {written(round(self.clock.days, 1))}" if self.clock else ""
        return f"{tank} is under treatment with {name}{days}."


def courses_in(vessel_ids: Collection[UUID], at: datetime) -> list[CourseStanding]:
    """Courses of these vessels, and of waters they were members of when opened; latest first."""
    wanted = Q(vessel__in=vessel_ids)
    for pk in vessel_ids:
        wanted |= Q(members__contains=[str(pk)])
    rows = Course.objects.current().filter(wanted, happened_at__lte=at)
    known = related(rows).prefetch_related("steps").order_by("-happened_at", "pk")
    return [standing(course, at=at) for course in known]


def binding_in(vessel_ids: Collection[UUID], at: datetime) -> list[CourseStanding]:
    """Those not cleared yet."""
    return [one for one in courses_in(vessel_ids, at) if one.binds]


def courses_open_to(person: Person) -> QuerySet[Course]:
    rows = Course.objects.current().filter(vessel__in=Vessel.objects.open_to(person))
    return related(rows).prefetch_related("steps").order_by("-happened_at", "pk")


def uncleared_at(site: Site, *, at: datetime) -> list[Course]:
    """Courses of a site nobody has declared cleared by then, oldest first."""
    done = CourseStep.objects.current().filter(kind=CourseStep.Kind.CLEARED, happened_at__lte=at)
    rows = Course.objects.current().filter(vessel__site=site, happened_at__lte=at)
    rows = rows.exclude(pk__in=done.values("course"))
    return list(related(rows).prefetch_related("steps").order_by("happened_at", "pk"))


def standing(course: Course, *, at: datetime) -> CourseStanding:
    past = history(course, at=at)
    steps = {
        step.kind: step
        for step in course.steps.all()
        if step.happened_at <= at and not step.withdrawn
    }
    own = [dose for dose in past.doses if dose.course_id == course.pk]
    ended = {end.dose_id for end in past.ends}
    open_baths = [dose for dose in own if dose.intent == "BATH" and dose.pk not in ended]
    abandoned = steps.get("ABANDONED")
    return CourseStanding(
        course=course,
        at=at,
        level=past.level(),
        clock=_clock(past, own),
        clearing_at=_at(steps.get("CLEARING")),
        cleared_at=_at(steps.get("CLEARED")),
        abandoned_at=_at(abandoned),
        why_abandoned=abandoned.note if abandoned else "",
        last_dose_at=own[-1].happened_at if own else None,
        running_bath=open_baths[-1] if open_baths else None,
        read_since_dose=_read_since(past, own),
        baths=sum(dose.intent == "BATH" for dose in own),
    )


def terms_of(course: Course) -> Terms | None:
    """The clock's terms, or None for an agent that has none."""
    agent = course.agent
    if agent.is_bath or course.clock_days is None or course.low is None or course.high is None:
        return None
    return Terms(
        low=float(course.low),
        high=float(course.high),
        days=float(course.clock_days),
        readings_in_row=agent.readings_in_row if agent.is_read else 1,
        resets=agent.out_of_window == agent.OutOfWindow.RESET,
        longest_gap_h=float(agent.longest_gap_h),
    )


def _at(step: CourseStep | None) -> datetime | None:
    return step.happened_at if step else None


def _read_since(past: History, own: list[TreatmentDose]) -> LevelReading | None:
    since = own[-1].happened_at if own else past.course.happened_at
    later = [row for row in past.levels if row.happened_at >= since]
    return later[-1] if later else None


def _clock(past: History, own: list[TreatmentDose]) -> Standing | None:
    terms = terms_of(past.course)
    if terms is None:
        return None
    return clock(_reads(past, own), terms, at=past.at)


def _reads(past: History, own: list[TreatmentDose]) -> Iterator[Read]:
    """Readings of this course; where the agent cannot be read, what was reckoned stands in."""
    if past.course.agent.is_read:
        for row in past.levels:
            if row.course_id == past.course.pk:
                low, high = edges(row)
                yield Read(at=row.happened_at, low=low, high=high)
        return
    if own:
        for level in past.curve():
            if level.at >= own[0].happened_at:
                yield Read(at=level.at, low=level.low, high=level.high)
