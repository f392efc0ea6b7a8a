"""Tests and retests that fell due in a period: done, not done and why, or never answered."""

from collections import Counter
from collections.abc import Iterable
from typing import Final
from uuid import UUID

from django.db.models import F, Q

from facility.models import Completion, Task, WorkKind
from facility.queries.work import answers_to
from facility.rules.canonical import plain
from facility.sockets.subjects import places_of
from tanks.queries.company import Companies
from tanks.queries.periods import Content, Past, key_of

_KINDS: Final = (WorkKind.TEST, WorkKind.RETEST, WorkKind.SOURCE_WATER)
DONE, NOT_DONE, UNANSWERED = "done", "not done", "never answered"


def tests_due(past: Past) -> Content:
    """Counts by water, and each that was not done by name with its reason."""
    tasks = list(_fallen(past))
    answers = _answers(past, tasks)
    places = places_of({task.about for task in tasks})
    rows = [
        {
            "water": _water(task, past.companies),
            "title": task.title,
            "where": places[task.about].name if task.about in places else "",
            "due_at": plain(task.due_at),
            "outcome": _outcome(answers.get(task.pk)),
            "why": answers[task.pk].why_not if task.pk in answers else "",
            "by": answers[task.pk].by.full_name if task.pk in answers else "",
        }
        for task in tasks
    ]
    return {
        "counts": _counts(rows),
        "left": [row for row in rows if row["outcome"] != DONE],
    }


def _fallen(past: Past) -> Iterable[Task]:
    """What an ended duty would have brought after its end was not asked for."""
    over = Q(duty__ended_at__isnull=False, duty__ended_at__lte=F("due_at"))
    rows = Task.objects.filter(
        site=past.site, kind__in=_KINDS, due_at__gte=past.begin, due_at__lt=past.end
    )
    return rows.exclude(over).order_by("due_at", "title", "pk")


def _answers(past: Past, tasks: Iterable[Task]) -> dict[UUID, Completion]:
    """Given by the end; what was answered later was not answered then."""
    found = answers_to(task.pk for task in tasks)
    return {pk: answer for pk, answer in found.items() if answer.happened_at < past.end}


def _water(task: Task, companies: Companies) -> str:
    """The anchor of the water it was about when it fell due; empty for what is about none."""
    vessel = key_of(task.about)
    if vessel is None or vessel not in companies.vessels:
        return ""
    return str(companies.anchor(vessel, task.due_at).pk)


def _outcome(answer: Completion | None) -> str:
    if answer is None:
        return UNANSWERED
    return DONE if answer.outcome == Completion.Outcome.DONE else NOT_DONE


def _counts(rows: Iterable[Content]) -> list[Content]:
    told = Counter((row["water"], row["outcome"]) for row in rows)
    waters = sorted({water for water, _ in told})
    return [
        {
            "water": water,
            "done": told[water, DONE],
            "not_done": told[water, NOT_DONE],
            "unanswered": told[water, UNANSWERED],
        }
        for water in waters
    ]
