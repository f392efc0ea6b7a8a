"""Rounds as they stand, and what there is to share out on a day."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final
from uuid import UUID

from facility.models import Area, Person, Round, Shift, Site, Task
from facility.queries.shifts import hands_on, skills_at
from facility.queries.work import TaskNow, day_of, stand, tasks_of, undone
from facility.rules.assignment import Hand, Piece
from facility.rules.tasks import LATE, OVER

_MINUTE: Final = timedelta(minutes=1)
_WHOLE_DAY_MIN: Final = 2 * 24 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day's open tasks and those who are on, as the rule of assignment wants them.

    Minutes count from ``begin``, the midnight before by the site's clock.
    """

    site: Site
    on: date
    begin: datetime
    tasks: Mapping[str, TaskNow]
    pieces: tuple[Piece, ...]
    hands: tuple[Hand, ...]
    people: Mapping[str, Person]
    shifts: Mapping[str, tuple[Shift, ...]]

    def moment(self, minute: int) -> datetime:
        return (self.begin + minute * _MINUTE).astimezone(self.site.zone)


def in_force(site: Site, on: date) -> dict[UUID, Round]:
    """The latest round of each person for that day."""
    rows = Round.objects.filter(site=site, on=on).select_related("site", "person")
    latest = rows.order_by("person", "-drawn_up_at", "pk").distinct("person")
    return {row.person_id: row for row in latest}


def round_of(person: Person, site: Site, on: date) -> Round | None:
    rows = Round.objects.filter(site=site, on=on, person=person)
    return (
        rows.select_related("site", "person", "drawn_up_by").order_by("-drawn_up_at", "pk").first()
    )


def rounds_ahead(person: Person, site: Site, *, since: date, until: date) -> list[Round]:
    """The rounds in force of one person, by day."""
    rows = Round.objects.filter(site=site, person=person, on__gte=since, on__lte=until)
    latest = rows.select_related("site", "person").order_by("on", "-drawn_up_at", "pk")
    return list(latest.distinct("on"))


def stops_of(drawn: Iterable[Round], *, at: datetime) -> dict[str, TaskNow]:
    """Where the tasks of these rounds stand now, by id."""
    ids = [stop["task"] for row in drawn for stop in row.stops]
    return {str(one.task.pk): one for one in stand(Task.objects.filter(pk__in=ids), at=at)}


def day(site: Site, on: date, *, at: datetime) -> Day:
    """What has no answer yet: tasks of that day and, today, those left from before."""
    begin = midnight(site, on)
    tasks = {str(one.task.pk): one for one in _open_tasks(site, on, at)}
    shifts: dict[str, tuple[Shift, ...]] = {}
    for shift in hands_on(site, on):
        shifts[str(shift.person_id)] = (*shifts.get(str(shift.person_id), ()), shift)
    stands = stands_of(site)
    skills = skills_at(site, at=at)
    from_min = max(0, (at - begin) // _MINUTE)
    return Day(
        site=site,
        on=on,
        begin=begin,
        tasks=tasks,
        pieces=tuple(piece_of(one, tasks, stands, begin) for one in tasks.values()),
        hands=tuple(
            Hand(
                key=key,
                spans=spans_of(held, begin, from_min=from_min),
                skills=skills.get(held[0].person_id, frozenset()),
            )
            for key, held in shifts.items()
        ),
        people={key: held[0].person for key, held in shifts.items()},
        shifts=shifts,
    )


def midnight(site: Site, on: date) -> datetime:
    """When the day begins there, in UTC: minutes are added to it, which a changed clock skews."""
    return day_of(site, on)[0].astimezone(UTC)


def stands_of(site: Site) -> dict[UUID, int]:
    """Areas along the walk: clean to dirty, then by name."""
    areas = Area.objects.filter(site=site).order_by("hygiene_rank", "name", "pk")
    return {area.pk: place for place, area in enumerate(areas, start=1)}


def piece_of(
    one: TaskNow, tasks: Mapping[str, TaskNow], stands: Mapping[UUID, int], begin: datetime
) -> Piece:
    task = one.task
    # What is late already is done as soon as may be; there is no window left to keep.
    late_min = _WHOLE_DAY_MIN if one.state == LATE else (task.late_at - begin) // _MINUTE
    before = str(task.goes_after_id)
    return Piece(
        key=str(task.pk),
        minutes=task.minutes,
        opens_min=max(0, (task.opens_at - begin) // _MINUTE),
        late_min=late_min,
        rank=task.hygiene_rank,
        stand=stands.get(task.area_id, 0) if task.area_id else 0,
        skill=task.skill,
        after=before if before in tasks else "",
    )


def spans_of(
    held: Iterable[Shift], begin: datetime, *, from_min: int = 0
) -> tuple[tuple[int, int], ...]:
    """What of the shifts is still to come, shifts that touch put together."""
    spans: list[tuple[int, int]] = []
    for shift in held:
        since = max((shift.period.lower - begin) // _MINUTE, from_min)
        until = (shift.period.upper - begin) // _MINUTE
        if spans and since <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(until, spans[-1][1]))
        elif until > since:
            spans.append((since, until))
    return tuple(spans)


def _open_tasks(site: Site, on: date, at: datetime) -> list[TaskNow]:
    found = [one for one in tasks_of(site, on, at=at) if one.answer is None and one.state != OVER]
    if on != at.astimezone(site.zone).date():
        return found
    known = {one.task.pk for one in found}
    begin, _ = day_of(site, on)
    left = [one for one in undone(site, at=at) if one.task.due_at < begin and not one.is_missed]
    return [*(one for one in left if one.task.pk not in known), *found]
