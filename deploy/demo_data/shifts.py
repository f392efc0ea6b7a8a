"""Who is on in these weeks and who can do what; each morning the rounds are drawn up."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final
from uuid import UUID

from deploy.demo_data.acts import TODAY, Act, Weeks, ident
from deploy.demo_data.day import ADOPTED_ON
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER
from facility.commands.rounds import DrawUpRounds, RoundDrawn, StopDrawn, draw_up_rounds
from facility.commands.shifts import SetShift
from facility.commands.skills import GrantSkill
from facility.models import Person, Site
from facility.queries.drafts import proposed
from facility.queries.rounds import day, in_force

# From and until by the clock on the wall; each is off one day of the week.
_HOURS: Final = {
    "tove": ("07:00", "15:30", 6),
    "kasim": ("08:00", "18:00", 2),
    "jun": ("10:30", "19:30", 4),
}
_SKILLS: Final = (("tove", "photometer"), ("kasim", "quarantine"), ("jun", "life support"))
_WEEKS: Final = 2
_ON_CALL: Final = ("kasim", "20:00")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawUp:
    """The manager takes the proposal as it is, where none is taken yet."""

    site_id: UUID
    on: date


def rostered(weeks: Weeks) -> Iterator[Act]:
    """Two weeks of shifts from the day the duties were adopted, and somebody on call."""
    at = weeks.at(ADOPTED_ON - 1, "16:00")
    for who, name in _SKILLS:
        yield Act(at=at, by=MANAGER, command=_skill(who, name))
    for who in _HOURS:
        for ahead in range(7):
            if (ADOPTED_ON + ahead) % 7 != _HOURS[who][2]:
                yield Act(at=at, by=MANAGER, command=_shift(weeks, who, ADOPTED_ON + ahead))
    yield Act(at=at, by=MANAGER, command=_on_call(weeks))
    for each in range(ADOPTED_ON, TODAY + 1):
        drawn = DrawUp(site_id=SITE_ID, on=weeks.on(each))
        yield Act(at=weeks.at(each, "07:30"), by=MANAGER, command=drawn)


def draw_up(command: DrawUp, *, by: Person, at: datetime) -> None:
    site = Site.objects.get(pk=command.site_id)
    if in_force(site, command.on):
        return
    draft = proposed(day(site, command.on, at=at))
    rounds = tuple(
        RoundDrawn(
            person_id=column.person.pk,
            stops=tuple(StopDrawn(task_id=stop.one.task.pk) for stop in column.stops),
        )
        for column in draft.columns
    )
    told = DrawUpRounds(
        id=ident(f"rounds:{command.on}"), site_id=site.pk, on=command.on, rounds=rounds
    )
    draw_up_rounds(told, by=by, at=at)


def _skill(who: str, name: str) -> GrantSkill:
    return GrantSkill(
        id=ident(f"skill:{who}"), site_id=SITE_ID, person_id=ident(f"person:{who}"), name=name
    )


def _shift(weeks: Weeks, who: str, on: int) -> SetShift:
    since, until, _ = _HOURS[who]
    return SetShift(
        id=ident(f"shift:{who}:{on}"),
        site_id=SITE_ID,
        person_id=ident(f"person:{who}"),
        begins_at=weeks.at(on, since),
        ends_at=weeks.at(on, until),
        is_stand_in=who == "jun",
        weeks=_WEEKS,
    )


def _on_call(weeks: Weeks) -> SetShift:
    who, clock = _ON_CALL
    return SetShift(
        id=ident("on-call"),
        site_id=SITE_ID,
        person_id=ident(f"person:{who}"),
        begins_at=weeks.at(ADOPTED_ON, clock),
        ends_at=weeks.at(ADOPTED_ON + 7, clock),
        is_on_call=True,
        weeks=_WEEKS,
    )
