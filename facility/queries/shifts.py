"""Who is on and who can do what, at a moment or on a day."""

from collections import defaultdict
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.backends.postgresql.psycopg_any import DateTimeTZRange
from django.db.models import QuerySet

from facility.models import Duty, Shift, Site, Skill
from facility.queries.work import day_of


def shifts_on(site: Site, on: date) -> list[Shift]:
    """Shifts that touch the day, not cancelled, by when they begin."""
    return list(_between(site, *day_of(site, on)))


def shifts_ahead(site: Site, *, at: datetime, days: int) -> list[Shift]:
    """What is going on now and begins in the days to come."""
    return list(_between(site, at, at + timedelta(days=days)))


def hands_on(site: Site, on: date) -> list[Shift]:
    """The shifts of those who are there and work, not merely on call."""
    return [shift for shift in shifts_on(site, on) if not shift.is_on_call]


def skills_at(site: Site, *, at: datetime) -> dict[UUID, frozenset[str]]:
    """Names of skills by person."""
    held: dict[UUID, set[str]] = defaultdict(set)
    for skill in _held(site, at):
        held[skill.person_id].add(skill.name)
    return {person: frozenset(names) for person, names in held.items()}


def skills_of(site: Site, *, at: datetime) -> list[Skill]:
    """Every skill held at the site, by person and name."""
    rows = _held(site, at).select_related("person")
    return list(rows.order_by("person__full_name", "name", "pk"))


def skill_names(site: Site) -> list[str]:
    """Every skill that work here asks for or people have."""
    asked = Duty.objects.in_force().filter(site=site).exclude(skill="")
    held = Skill.objects.filter(site=site)
    return sorted({*asked.values_list("skill", flat=True), *held.values_list("name", flat=True)})


def _between(site: Site, since: datetime, until: datetime) -> QuerySet[Shift]:
    rows = Shift.objects.filter(site=site, cancelled_at=None)
    touching = rows.filter(period__overlap=DateTimeTZRange(since, until))
    return touching.select_related("person").order_by("period", "person__full_name", "pk")


def _held(site: Site, at: datetime) -> QuerySet[Skill]:
    return Skill.objects.filter(site=site, since__lte=at).exclude(until__lte=at)
