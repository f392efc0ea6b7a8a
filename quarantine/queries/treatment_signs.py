"""What the courses of a site call for, by water."""

from collections.abc import Collection
from datetime import datetime, timedelta
from uuid import UUID

from facility.models import Site
from facility.rules.alerts import Seen
from quarantine.models import Course, TreatmentDose
from quarantine.queries.course_events import edges, history
from quarantine.queries.courses import CourseStanding, standing, uncleared_at
from quarantine.rules.treatment_watch import Watch, seen_of
from tanks.sockets.signs import Waters


def treatment_signs(site_id: UUID, waters: Waters, at: datetime) -> dict[UUID, list[Seen]]:
    """Judge every course that is not cleared; without one nothing is asked."""
    site = Site.objects.get(pk=site_id)
    found: dict[UUID, list[Seen]] = {}
    for course in uncleared_at(site, at=at):
        for anchor, members in waters.items():
            known = frozenset(members)
            if course.vessel_id in known:
                watch = watch_of(course, known, at=at)
                found.setdefault(anchor, []).extend(seen_of(watch, at=at))
    return found


def watch_of(course: Course, members: Collection[UUID], *, at: datetime) -> Watch:
    return watch_of_standing(standing(course, at=at), members)


def watch_of_standing(stands: CourseStanding, members: Collection[UUID]) -> Watch:
    course, bath = stands.course, stands.running_bath
    past = history(course, at=stands.at)
    reads = [row for row in past.levels if row.course_id == course.pk]
    read = reads[-1] if reads else None
    span = edges(read) if read else None
    return Watch(
        name=stands.name,
        unit=course.agent.unit,
        low=None if course.low is None else float(course.low),
        high=None if course.high is None else float(course.high),
        read_low=span[0] if span else None,
        read_high=span[1] if span else None,
        read_key=f"quarantine.levelreading:{read.pk}" if read else "",
        is_level_read=course.agent.is_read,
        is_open=stands.is_open,
        is_clearing=stands.is_clearing,
        is_running=stands.clock is not None and stands.clock.state == "running",
        read_at=read.happened_at if read else None,
        dosed_at=stands.last_dose_at,
        bath_ends_at=bath_ends_at(bath) if bath else None,
        bath_key=f"quarantine.treatmentdose:{bath.pk}" if bath else "",
        is_same_water=not stands.is_open or {str(pk) for pk in members} == set(course.members),
        course_key=f"quarantine.course:{course.pk}",
    )


def bath_ends_at(dose: TreatmentDose) -> datetime:
    return dose.happened_at + timedelta(minutes=dose.minutes or 0)
