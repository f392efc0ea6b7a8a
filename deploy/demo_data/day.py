"""Duties adopted two days ago, and done since but for what was missed or could not be."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID, uuid5

from deploy.demo_data.acts import TODAY, ZONE, Act, Weeks, ident
from deploy.demo_data.house import AREAS, SITE_ID
from deploy.demo_data.people import MANAGER, STAFF
from facility.commands.answers import AnswerTask, answer_task
from facility.commands.raising import RaiseTasks
from facility.models import Person, Site
from facility.queries.work import undone
from tanks.commands.duties import AdoptDuties

ADOPTED_ON: Final = TODAY - 2
# Nobody told of this one; of the other it was said why.
_MISSED: Final = (TODAY - 1, "opening-walk", "Quarantine corner")
_NOT_DONE: Final = (TODAY - 1, "feed", "Quarantine corner", "17:00")
_SUBJECTS: Final = (
    ("vessel_id", "tanks.vessel"),
    ("area_id", "facility.area"),
    ("site_id", "facility.site"),
)
_CLOSED_AT: Final = "19:10"
_TURNS: Final = (("opening-walk", "08:00", 22), ("feed", "09:00", 25), ("feed", "17:00", 18))


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRest:
    """At the end of a day somebody goes through what is left of the list."""

    site_id: UUID


def went_by(weeks: Weeks) -> Iterator[Act]:
    """Adopt the usual duties, raise them each morning, answer them through the day."""
    adoption = AdoptDuties(id=ident("usual-duties"), site_id=SITE_ID)
    yield Act(at=weeks.at(ADOPTED_ON, "07:15"), by=MANAGER, command=adoption)
    for day in range(ADOPTED_ON, TODAY + 1):
        yield Act(at=weeks.at(day, "07:20"), by="", command=_raising(weeks, day))
        yield from _answers(weeks, day)
        who = STAFF[day % len(STAFF)]
        yield Act(at=weeks.at(day, _CLOSED_AT), by=who, command=AnswerRest(site_id=SITE_ID))


def answer_rest(command: AnswerRest, *, by: Person, at: datetime) -> None:
    """Say done of what nobody has answered and no entry proves, but for what was missed."""
    site = Site.objects.get(pk=command.site_id)
    for one in undone(site, at=at):
        is_left = one.task.kind == "WALK" or one.task.asks.get("parameters")
        if not is_left and one.task.due_at <= at:
            when = max(one.task.due_at, one.task.opens_at)
            answer_task(_answer(one.task.pk, when, is_done=True), by=by, at=at)


def subject_of(command: Any) -> str:
    """What a command may be evidence about; empty where it proves nothing."""
    for column, table in _SUBJECTS:
        if hasattr(command, column):
            return f"{table}:{getattr(command, column)}"
    return ""


def _raising(weeks: Weeks, day: int) -> RaiseTasks:
    """The house itself asks, up to the end of the next day."""
    until = datetime.combine(weeks.on(day + 2), datetime.min.time(), tzinfo=ZONE)
    return RaiseTasks(site_id=SITE_ID, until=until)


def _answers(weeks: Weeks, day: int) -> Iterator[Act]:
    for place, area in enumerate(AREAS):
        about = f"facility.area:{ident(f'area:{area}')}"
        for key, clock, minutes in _TURNS:
            if (day, key, area) == _MISSED:
                continue
            at = weeks.at(day, clock, minutes=minutes + 7 * place)
            is_done = (day, key, area, clock) != _NOT_DONE
            answer = _answer(_turn(weeks, day, f"{key} {about}", clock), at, is_done=is_done)
            yield Act(
                at=at + timedelta(minutes=1), by=STAFF[(day + place) % len(STAFF)], command=answer
            )


def _turn(weeks: Weeks, day: int, duty: str, clock: str) -> UUID:
    """The task's own id, as raising makes it from duty and wall time."""
    wall = datetime.combine(weeks.on(day), datetime.strptime(clock, "%H:%M").time())  # noqa: DTZ007  wall time
    return uuid5(uuid5(SITE_ID, duty), wall.isoformat(timespec="minutes"))


def _answer(task: UUID, at: datetime, *, is_done: bool) -> AnswerTask:
    return AnswerTask(
        id=ident(f"answer:{task}"),
        task_id=task,
        outcome="DONE" if is_done else "NOT_DONE",
        why_not="" if is_done else "No time: a delivery came late",
        happened_at=at,
    )
