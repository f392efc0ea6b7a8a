"""Tasks answered by what was recorded elsewhere, in the name of who recorded it."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.answers import AnswerTask, has_skill, kept_answer
from facility.commands.deliveries import take_turn
from facility.models import Completion, Entry, Task
from facility.queries.evidence import proven, unproven
from facility.queries.work import answers_to
from facility.sockets.subjects import alike


def answer_by_evidence(about: str, *, at: datetime) -> list[Completion]:
    """Answer every open task about a subject, or one like it, that the ledger proves done.

    Safe to ask again and by two at once. What must go after something unanswered waits for it.
    An answer whose entries were withdrawn since is taken back first.
    """
    for answer in unproven(alike(about, at), at=at):
        _take_back(answer, at)
    found = [_answered(task, lines, at) for task, lines in proven(alike(about, at), at=at)]
    return [completion for completion in found if completion is not None]


@transaction.atomic(durable=True)
def _answered(task: Task, lines: Sequence[Entry], at: datetime) -> Completion | None:
    take_turn(task.site)
    latest = lines[-1]
    wanted = [pk for pk in (task.pk, task.goes_after_id) if pk is not None]
    answered = answers_to(wanted)
    is_barred = task.goes_after_id is not None and task.goes_after_id not in answered
    if task.pk in answered or is_barred or latest.by is None:
        return None
    if not has_skill(task, latest.by, latest.happened_at):
        return None
    command = AnswerTask(
        id=uuid5(task.pk, f"evidence {latest.pk}"),
        task_id=task.pk,
        outcome=Completion.Outcome.DONE,
        happened_at=latest.happened_at,
        evidence=tuple(f"facility.entry:{line.pk}" for line in lines),
    )
    return kept_answer(command, task, by=latest.by, at=at)


@transaction.atomic(durable=True)
def _take_back(answer: Completion, at: datetime) -> None:
    """The task is open again; what was said of it stays to be read."""
    take_turn(answer.task.site)
    if Completion.objects.filter(corrects=answer).exists():
        return
    back = Completion.objects.create(
        id=uuid5(answer.pk, "taken back"),
        task=answer.task,
        outcome=answer.outcome,
        happened_at=at,
        recorded_at=at,
        by=answer.by,
        corrects=answer,
        reason="The entry that proved it was withdrawn.",
        withdrawn=True,
    )
    ledger.record(
        "facility.answer-task",
        [back],
        about=answer.task,
        site=answer.task.site,
        by=None,
        happened_at=at,
        recorded_at=at,
    )
