"""A site's day for whoever comes in: what was missed, what is to be done, what comes later."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from facility.models import Site
from facility.queries.work import TaskNow, tasks_of, undone
from facility.rules.tasks import WAITING
from facility.rules.wording import unit_and_basis, written
from facility.sockets.work import Due
from tanks.models import Reading
from tanks.queries import board
from tanks.queries.due import is_named, vessel_of
from tanks.queries.readings import latest_in_waters
from tanks.queries.waters import Water, waters
from tanks.rules.missed import Last, named, not_done, not_tested
from tanks.rules.values import PARAMETERS


@dataclass(frozen=True, slots=True, kw_only=True)
class Missed:
    """A task whose time is over; its next turn has come, or its day has passed."""

    one: TaskNow
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    site: Site
    missed: tuple[Missed, ...]
    tasks: tuple[TaskNow, ...]
    due: tuple[Due, ...]
    later: tuple[TaskNow, ...]


def today(site: Site, *, at: datetime) -> Today:
    """What is open at the site at that moment, each thing named once."""
    open_ = undone(site, at=at)
    gone = [one for one in open_ if one.is_missed or _is_past(one, site, at)]
    tasks = sorted((one for one in open_ if one not in gone), key=_in_order)
    day = tasks_of(site, at.astimezone(site.zone).date(), at=at)
    return Today(
        site=site,
        missed=tuple(_missed(site, gone, at)),
        tasks=tuple(tasks),
        due=tuple(due for due in board.due_at(site, at=at) if not is_named(due, tasks)),
        later=tuple(one for one in day if one.state == WAITING and one.task.opens_at > at),
    )


def missed(site: Site, *, at: datetime) -> list[Missed]:
    """Only what was missed, the latest turn of each duty."""
    open_ = undone(site, at=at)
    return _missed(site, [one for one in open_ if one.is_missed or _is_past(one, site, at)], at)


def _in_order(one: TaskNow) -> tuple[bool, int, datetime, str]:
    """Late first; then clean before dirty, and by time."""
    return one.state != "late", one.hygiene_rank, one.task.due_at, str(one.task.pk)


def _is_past(one: TaskNow, site: Site, at: datetime) -> bool:
    late_on = one.task.late_at.astimezone(site.zone).date()
    return one.state == "late" and late_on < at.astimezone(site.zone).date()


def _missed(site: Site, gone: Iterable[TaskNow], at: datetime) -> list[Missed]:
    """One line for each duty: earlier turns nobody did either are in its list of tasks."""
    latest = {one.task.duty_id or one.task.pk: one for one in _by_due(gone)}
    known = waters(site, at=at) if any(map(_tests, latest.values())) else []
    by_vessel = {pk: water for water in known for pk in water.member_ids}
    wanted = {
        by_vessel[pk].anchor.pk: by_vessel[pk]
        for pk in map(vessel_of, latest.values())
        if pk in by_vessel
    }
    read = latest_in_waters(wanted.values())
    lines = ((one, _sentence(one, site, by_vessel, read, at)) for one in latest.values())
    return [Missed(one=one, sentence=sentence) for one, sentence in lines if sentence]


def _by_due(gone: Iterable[TaskNow]) -> list[TaskNow]:
    return sorted(gone, key=lambda one: (one.task.due_at, str(one.task.pk)))


def _sentence(
    one: TaskNow,
    site: Site,
    by_vessel: dict[UUID, Water],
    read: dict[UUID, dict[str, Reading]],
    at: datetime,
) -> str:
    """Empty where everything was read since, only not in time to be counted."""
    vessel = vessel_of(one)
    due_at = one.task.due_at
    if not _tests(one) or vessel is None or vessel not in by_vessel:
        return not_done(one.task.title, due_at=due_at, at=at, zone=site.zone)
    rows = read.get(by_vessel[vessel].anchor.pk, {})
    unread = [
        name
        for name in one.task.asks["parameters"]
        if name not in rows or rows[name].happened_at < one.task.opens_at
    ]
    if not unread:
        return ""
    subject = one.place.name if one.place else by_vessel[vessel].name
    lasts = [_last(name, rows.get(name)) for name in unread]
    return not_tested(subject, lasts, due_at=due_at, at=at, zone=site.zone)


def _last(parameter: str, reading: Reading | None) -> Last:
    name = named(parameter, PARAMETERS.get(parameter, parameter))
    if reading is None:
        return Last(name=name, text=None, at=None)
    # pH is a number on a scale: there is no unit for its basis to stand behind.
    unit = "" if reading.parameter == "PH" else unit_and_basis(reading.unit, reading.basis)
    return Last(
        name=name,
        text=f"{written(reading.as_entered)} {unit}".strip(),
        at=reading.happened_at,
    )


def _tests(one: TaskNow) -> bool:
    return bool(one.task.asks.get("parameters"))
