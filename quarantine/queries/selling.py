"""What keeps animals from being sold, sent away or merged: holds, and courses not cleared."""

from collections.abc import Iterator
from datetime import datetime

from django.db.models import Q

from quarantine.models import Course, CourseStep, Hold, Lot
from tanks.models import Vessel
from tanks.queries.waters import water_of


def hindrances_to_sale(lot: Lot, vessel: Vessel, *, at: datetime) -> list[str]:
    """Return a sentence for each reason why animals of this lot may not leave this tank."""
    members = water_of(vessel, at=at).member_ids
    held = _standing_holds(Q(lot=lot) | Q(vessel__in=members), at)
    return [*(_of_hold(one) for one in held), *_of_courses(members, at)]


def holds_of(lot: Lot, *, at: datetime) -> list[Hold]:
    """Return the holds on the lot itself that nobody has lifted, oldest first."""
    return _standing_holds(Q(lot=lot), at)


def _standing_holds(about: Q, at: datetime) -> list[Hold]:
    rows = Hold.objects.current().filter(about, happened_at__lte=at)
    lifted = Q(lift__isnull=False, lift__happened_at__lte=at)
    standing = rows.exclude(lifted).select_related("lot", "vessel")
    return list(standing.order_by("happened_at", "pk"))


def _of_hold(hold: Hold) -> str:
    what = hold.lot.code if hold.lot else f"The water of {hold.vessel.code}" if hold.vessel else ""
    return f"{what} is on hold ({hold.get_kind_display().lower()}): {hold.why}"


def _of_courses(members: frozenset[object], at: datetime) -> Iterator[str]:
    """SI 2018/486, Schedule 3, paragraph 2(2): what is under treatment must not be sold."""
    rows = Course.objects.current().filter(vessel__in=members, happened_at__lte=at)
    for course in rows.select_related("agent", "vessel").order_by("happened_at", "pk"):
        steps = CourseStep.objects.current().filter(course=course, happened_at__lte=at)
        if not steps.filter(kind=CourseStep.Kind.CLEARED).exists():
            yield (
                f"{course.vessel.code} is under treatment with {course.agent.name}; "
                "the course is not cleared yet."
            )
