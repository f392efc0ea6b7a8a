"""Builders of shifts, skills, rounds and calendars, each through its command."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from facility.commands.calendars import OpenCalendar, open_calendar
from facility.commands.rounds import DrawUpRounds, RoundDrawn, StopDrawn, draw_up_rounds
from facility.commands.shifts import SetShift, set_shift
from facility.commands.skills import GrantSkill, grant_skill
from facility.models import Calendar, Person, Round, Shift, Skill, Task
from facility.queries.handsets import digest_of
from tests.cast import NOON, House

TOKEN: Final = "a token only the calendar keeps"


def shift_of(house: House, person: Person, *, at: datetime = NOON, **said: Any) -> SetShift:
    """Four hours before and after."""
    told: dict[str, Any] = {
        "begins_at": at - timedelta(hours=4),
        "ends_at": at + timedelta(hours=4),
    }
    return SetShift(id=uuid4(), site_id=house.site.pk, person_id=person.pk, **told | said)


def on_shift(house: House, person: Person, *, at: datetime = NOON, **said: Any) -> Shift:
    return set_shift(shift_of(house, person, at=at, **said), by=house.mo, at=at)[0]


def granted(
    house: House, person: Person, name: str = "photometer", *, at: datetime = NOON
) -> Skill:
    command = GrantSkill(id=uuid4(), site_id=house.site.pk, person_id=person.pk, name=name)
    return grant_skill(command, by=house.mo, at=at)


def drawing_of(
    house: House, given: Mapping[Person, Sequence[Task]], *, at: datetime = NOON
) -> DrawUpRounds:
    return DrawUpRounds(
        id=uuid4(),
        site_id=house.site.pk,
        on=at.astimezone(house.site.zone).date(),
        rounds=tuple(
            RoundDrawn(
                person_id=person.pk, stops=tuple(StopDrawn(task_id=task.pk) for task in tasks)
            )
            for person, tasks in given.items()
        ),
    )


def drawn_up(
    house: House, given: Mapping[Person, Sequence[Task]], *, at: datetime = NOON
) -> list[Round]:
    return draw_up_rounds(drawing_of(house, given, at=at), by=house.mo, at=at)


def calendar_for(
    house: House, person: Person, *, token: str = TOKEN, at: datetime = NOON
) -> Calendar:
    command = OpenCalendar(id=uuid4(), site_id=house.site.pk, token_sha256=digest_of(token))
    return open_calendar(command, by=person, at=at)
