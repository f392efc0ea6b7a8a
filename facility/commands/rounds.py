"""Draw up the rounds of a day: each person's tasks in the order they are done."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import SAVED_OTHERWISE, take_turn
from facility.models import Person, Round, Site, Task
from facility.queries import people
from facility.queries.rounds import in_force
from facility.queries.shifts import hands_on, skills_at
from facility.refusals import IdTaken, NotFound, Refusal


class DayOver(Refusal):
    code = "day-over"
    field = "on"


class NobodyOn(Refusal):
    code = "nobody-on"
    field = "rounds"


class NotOn(Refusal):
    code = "not-on"
    field = "rounds"


class UnknownTask(Refusal):
    code = "unknown-task"
    field = "rounds"


class GivenTwice(Refusal):
    code = "given-twice"
    field = "rounds"


class SkillLacking(Refusal):
    code = "skill-lacking"
    field = "rounds"


class WrongOrder(Refusal):
    code = "wrong-order"
    field = "rounds"


@dataclass(frozen=True, slots=True, kw_only=True)
class StopDrawn:
    """``is_fixed`` keeps the task with this person when a new assignment is proposed."""

    task_id: UUID
    is_fixed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundDrawn:
    person_id: UUID
    stops: tuple[StopDrawn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawUpRounds:
    """The whole day anew: who had a round before and is not named here has an empty one now."""

    id: UUID
    site_id: UUID
    on: date
    rounds: tuple[RoundDrawn, ...]


@transaction.atomic(durable=True)
def draw_up_rounds(command: DrawUpRounds, *, by: Person, at: datetime) -> list[Round]:
    """Keep the rounds of a day, all or none; the ids of the rows follow from the command's.

    Raises:
        NotFound, NotAllowed, IdTaken, DayOver, NobodyOn, NotOn, UnknownTask, GivenTwice,
        SkillLacking, WrongOrder
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.draw-up-rounds", site)
    take_turn(site)
    if delivered := _delivered(command):
        return delivered
    if command.on < at.astimezone(site.zone).date():
        raise DayOver("That day is over: its rounds stay as they were.")
    names = _names_on(command, site)
    tasks = _tasks(command, site)
    _require_skills(command, site, tasks, names, at)
    _require_order(command, tasks)
    rows = Round.objects.bulk_create(_rows(command, site, by=by, at=at))
    ledger.record(
        "facility.draw-up-rounds",
        rows,
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return rows


def _delivered(command: DrawUpRounds) -> list[Round]:
    said = {_id(command, one.person_id): _stops(one) for one in command.rounds}
    rows = list(Round.objects.filter(pk__in=said).order_by("pk"))
    for row in rows:
        if (row.site_id, row.on, row.stops) != (command.site_id, command.on, said[row.pk]):
            raise IdTaken(SAVED_OTHERWISE)
    if rows and len(rows) < len(said):
        raise IdTaken(SAVED_OTHERWISE)
    return rows


def _names_on(command: DrawUpRounds, site: Site) -> dict[UUID, str]:
    on = {shift.person_id: shift.person.full_name for shift in hands_on(site, command.on)}
    if not command.rounds:
        raise NobodyOn("Give somebody a round; set a shift first if nobody is on.")
    if any(one.person_id not in on for one in command.rounds):
        raise NotOn("Somebody here has no shift on that day; set one, or give the tasks on.")
    return on


def _tasks(command: DrawUpRounds, site: Site) -> dict[UUID, Task]:
    counted = Counter(stop.task_id for one in command.rounds for stop in one.stops)
    tasks = Task.objects.filter(site=site).in_bulk(list(counted))
    if len(tasks) < len(counted):
        raise UnknownTask("A task here is none of this site's; load the page again.")
    people_twice = Counter(one.person_id for one in command.rounds)
    if twice := [key for key, count in counted.items() if count > 1]:
        raise GivenTwice(f"{tasks[twice[0]].title} stands twice; leave it with one person.")
    if max(people_twice.values()) > 1:
        raise GivenTwice("One person has two rounds; put them into one.")
    return tasks


def _require_skills(
    command: DrawUpRounds,
    site: Site,
    tasks: dict[UUID, Task],
    names: dict[UUID, str],
    at: datetime,
) -> None:
    skills = skills_at(site, at=at)
    for one in command.rounds:
        for stop in one.stops:
            task = tasks[stop.task_id]
            if task.skill and task.skill not in skills.get(one.person_id, ()):
                raise SkillLacking(
                    f"{task.title} asks for the skill {task.skill}, which "
                    f"{names[one.person_id]} has not been granted; give it to somebody who has."
                )


def _require_order(command: DrawUpRounds, tasks: dict[UUID, Task]) -> None:
    for one in command.rounds:
        ids = [stop.task_id for stop in one.stops]
        places = {task_id: place for place, task_id in enumerate(ids)}
        for task_id, place in places.items():
            first = tasks[task_id].goes_after_id
            if first in places and places[first] > place:
                raise WrongOrder(f"{tasks[first].title} goes before {tasks[task_id].title}.")


def _rows(command: DrawUpRounds, site: Site, *, by: Person, at: datetime) -> list[Round]:
    named = {one.person_id: _stops(one) for one in command.rounds}
    before = {person_id: list[dict[str, Any]]() for person_id in in_force(site, command.on)}
    return [
        Round(
            id=_id(command, person_id),
            site=site,
            person_id=person_id,
            on=command.on,
            stops=stops,
            drawn_up_at=at,
            drawn_up_by=by,
        )
        for person_id, stops in (before | named).items()
    ]


def _id(command: DrawUpRounds, person_id: UUID) -> UUID:
    return uuid5(command.id, str(person_id))


def _stops(one: RoundDrawn) -> list[dict[str, Any]]:
    return [{"task": str(stop.task_id), "is_fixed": stop.is_fixed} for stop in one.stops]
