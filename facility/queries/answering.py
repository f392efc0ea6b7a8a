"""Who answers an alert: the person whose round goes there, or who is on; and who stands behind."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from facility.models import Membership, Person, Round, Shift, Site, Task
from facility.sockets.deeds import KEEPERS, MANAGER


@dataclass(frozen=True, slots=True)
class Answering:
    """Either may be missing while nobody works at the site."""

    owner: Person | None
    backup: Person | None


def who_answers(site: Site, *, area: UUID | None, at: datetime) -> Answering:
    """Today's person of that area, else the manager on shift, else whoever is on or on call.

    The backup is on call, or else a manager; nobody stands behind themselves. Where no shift is
    written down, the site's managers answer.
    """
    roles = _roles(site)
    on = [shift for shift in _shifts(site, at) if shift.person_id in roles]
    present = [shift.person for shift in on if not shift.is_on_call]
    on_call = [shift.person for shift in on if shift.is_on_call]
    managers = [person for person in roles_to_people(roles) if roles[person.pk][1] == MANAGER]
    of_area = _of_area(site, area, present, at)
    owner = _first([*of_area, *_managers_first(present, roles), *on_call, *managers])
    behind = [*on_call, *managers, *present]
    return Answering(owner, _first([person for person in behind if person != owner]))


def roles_to_people(roles: dict[UUID, tuple[Person, str]]) -> list[Person]:
    return [person for person, _ in roles.values()]


def _roles(site: Site) -> dict[UUID, tuple[Person, str]]:
    """Everybody who works on the tanks there, by name."""
    held = Membership.objects.filter(
        site=site, until=None, role__in=KEEPERS, person__is_active=True
    )
    rows = held.select_related("person").order_by("person__full_name", "pk")
    return {row.person_id: (row.person, row.role) for row in rows}


def _shifts(site: Site, at: datetime) -> list[Shift]:
    rows = Shift.objects.filter(site=site, cancelled_at=None, period__contains=at)
    return list(rows.select_related("person").order_by("person__full_name", "pk"))


def _managers_first(people: list[Person], roles: dict[UUID, tuple[Person, str]]) -> list[Person]:
    return sorted(people, key=lambda person: roles[person.pk][1] != MANAGER)


def _of_area(site: Site, area: UUID | None, present: list[Person], at: datetime) -> list[Person]:
    """Those present whose round of the day has most stops in the area."""
    if area is None or not present:
        return []
    on = at.astimezone(site.zone).date()
    rows = Round.objects.filter(site=site, on=on, person__in=present, drawn_up_at__lte=at)
    latest = rows.order_by("person_id", "-drawn_up_at", "pk").distinct("person_id")
    stops = {row.person_id: {stop["task"] for stop in row.stops} for row in latest}
    wanted = {pk for tasks in stops.values() for pk in tasks}
    there = {
        str(pk) for pk in Task.objects.filter(pk__in=wanted, area=area).values_list("pk", flat=True)
    }
    counted = [(len(stops.get(person.pk, set()) & there), person) for person in present]
    ranked = sorted(counted, key=lambda pair: (-pair[0], pair[1].full_name))
    return [person for count, person in ranked if count]


def _first(people: list[Person]) -> Person | None:
    return people[0] if people else None
