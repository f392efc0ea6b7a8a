"""Give the story's commands one by one, under the same rules as anybody's."""

from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import UUID

from django.db import connection

from deploy.demo_data.acts import TODAY, ZONE, Act, Weeks, ident
from deploy.demo_data.calling import called
from deploy.demo_data.correcting import GoThrough, go_through
from deploy.demo_data.day import AnswerRest, answer_rest, subject_of
from deploy.demo_data.foresight import Night, foretell, nights
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER, MEMBERS
from deploy.demo_data.shifts import DrawUp, draw_up
from deploy.demo_data.startups import PLANS
from deploy.demo_data.story import story
from facility.commands.evidence import answer_by_evidence
from facility.commands.people import found_person
from facility.models import Person, Site, Task
from facility.sockets.aftermath import nothing_follows
from facility.sockets.deeds import deeds
from tanks.commands.readings import LogReadings, SurprisingValue, log_readings
from tanks.jobs import forecast_together
from tanks.models import Cycle
from tanks.queries.cycles import related


def is_there() -> bool:
    """Whether a load came to its end: the last thing it does is to forecast."""
    cycles = Cycle.objects.filter(pk__in=_START_UPS)
    # The nights before the last say nothing of deviations.
    waiting = cycles.filter(ended_at=None).exclude(forecasts__as_planned__has_key="deviations")
    return cycles.count() == len(_START_UPS) and not waiting.exists()


def load(*, now: datetime) -> int:
    """Load the facility, or what is missing of it, up to the full hour; return how many acts."""
    until = now.replace(minute=0, second=0, microsecond=0)
    with connection.cursor() as cursor:
        # A demo that is lost in a power cut is loaded again.
        cursor.execute("SET synchronous_commit = off")
    weeks = _weeks(until)
    acts = list(story(weeks, until=until))
    _live(acts, [night for night in nights(weeks) if night.at <= until])
    still_open = related(Cycle.objects.filter(pk__in=_START_UPS, ended_at=None))
    forecast_together(still_open.order_by("pk"), at=until)
    called(Site.objects.get(pk=SITE_ID), at=until)
    return len(acts)


def _live(acts: Iterable[Act], ahead: list[Night]) -> None:
    """Give every act in order, and in between forecast on each night what was known by then."""
    people, to_come = {MANAGER: _founder()}, deque(ahead)
    with nothing_follows():
        for act in acts:
            while to_come and to_come[0].at <= act.at:
                foretell(to_come.popleft())
            _give(act, people)
        for night in to_come:
            foretell(night)


_START_UPS: Final = tuple(ident(f"cycle:{plan.code}") for plan in PLANS)


def _weeks(until: datetime) -> Weeks:
    """Eight weeks up to today; a load that was broken off goes on by its own calendar."""
    begun = Site.objects.filter(pk=SITE_ID).values_list("opened_at", flat=True).first()
    if begun is not None:
        return Weeks(first_on=begun.astimezone(ZONE).date())
    return Weeks(first_on=until.astimezone(ZONE).date() - timedelta(days=TODAY))


def _founder() -> Person:
    known = Person.objects.filter(username=MANAGER).first()
    member = next(member for member in MEMBERS if member.username == MANAGER)
    return known or found_person(
        username=member.username,
        full_name=member.full_name,
        initials=member.initials,
        password=member.password,
    )


def _give(act: Act, people: dict[str, Person]) -> None:
    by = _person(act.by, people) if act.by else None
    if by is not None and isinstance(act.command, LogReadings):
        _log(act.command, by, act.at)
    else:
        _GIVES[type(act.command)](act.command, by=by, at=act.at)
    subject = subject_of(act.command)
    if subject and Task.objects.exists():
        answer_by_evidence(subject, at=act.at)


def _person(username: str, people: dict[str, Person]) -> Person:
    return people.get(username) or people.setdefault(
        username, Person.objects.get(username=username)
    )


def _log(command: LogReadings, by: Person, at: datetime) -> None:
    """Asked about what surprises, the keeper looks once more and answers yes."""
    try:
        log_readings(command, by=by, at=at)
    except SurprisingValue as question:
        confirmed: frozenset[UUID] = frozenset(question.sentences)
        log_readings(replace(command, confirmed=confirmed), by=by, at=at)


_GIVES: Final[dict[type, Callable[..., Any]]] = {deed.command: deed.give for deed in deeds} | {
    AnswerRest: answer_rest,
    DrawUp: draw_up,
    GoThrough: go_through,
}
