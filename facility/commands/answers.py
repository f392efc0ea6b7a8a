"""Answer a task: done, or not done and why."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Completion, Person, Skill, Task
from facility.queries import people
from facility.queries.work import answers_to
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time


class UnknownOutcome(Refusal):
    code = "unknown-outcome"
    field = "outcome"


class WhyNotMissing(Refusal):
    code = "why-not-missing"
    field = "why_not"


class AnsweredBefore(Refusal):
    code = "answered-before"
    field = "outcome"


class TooEarly(Refusal):
    code = "too-early"
    field = "happened_at"


class OutOfOrder(Refusal):
    code = "out-of-order"
    field = "outcome"


class SkillMissing(Refusal):
    code = "skill-missing"
    field = "outcome"


class NeedsProof(Refusal):
    code = "needs-proof"
    field = "outcome"


class NothingToTakeBack(Refusal):
    code = "nothing-to-take-back"
    field = "corrects_id"


class ReasonMissing(Refusal):
    code = "reason-missing"
    field = "reason"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerTask:
    """``outcome`` is DONE, or NOT_DONE with ``why_not``; ``evidence`` names rows that prove it.

    With ``corrects_id`` and ``reason`` it takes the place of an earlier answer, which stays.
    """

    id: UUID
    task_id: UUID
    outcome: str
    happened_at: datetime
    why_not: str = ""
    evidence: tuple[str, ...] = ()
    corrects_id: UUID | None = None
    reason: str = ""


@transaction.atomic(durable=True)
def answer_task(command: AnswerTask, *, by: Person, at: datetime) -> Completion:
    """Keep the answer; the same answer given by two people is one, the first.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, UnknownOutcome, WhyNotMissing, TooEarly,
        OutOfOrder, SkillMissing, NeedsProof, AnsweredBefore, NothingToTakeBack, ReasonMissing
    """
    seen = Task.objects.open_to(by).select_related("site", "goes_after")
    task = seen.filter(pk=command.task_id).first()
    if task is None:
        raise NotFound("There is no such task here.")
    people.require(by, "facility.answer-task", task.site)
    take_turn(task.site)
    if delivered := earlier(Completion, command.id, _repeated(command)):
        return delivered
    require_past(command.happened_at, at=at)
    _require_words(command)
    if command.outcome == Completion.Outcome.DONE:
        _require_word(task)
        _require_time(command, task)
        require_order(task)
        _require_skill(task, by, command.happened_at)
    held = answers_to([task.pk]).get(task.pk)
    if command.corrects_id is None and held and held.outcome == command.outcome:
        return held
    _require_place(command, held, task)
    return kept_answer(command, task, by=by, at=at)


def kept_answer(command: AnswerTask, task: Task, *, by: Person, at: datetime) -> Completion:
    """Write the answer and its ledger line; the caller has asked all there is to ask."""
    said = _said(command) | _instead(command, task)
    completion = Completion.objects.create(id=command.id, recorded_at=at, by=by, **said)
    ledger.record(
        "facility.answer-task",
        [completion],
        about=task,
        site=task.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return completion


def require_order(task: Task) -> None:
    """Refuse what comes before its turn.

    Raises:
        OutOfOrder
    """
    first = task.goes_after
    if first is not None and first.pk not in answers_to([first.pk]):
        raise OutOfOrder(f"First comes: {first.title}. Do it, or say why it is not done.")


def has_skill(task: Task, person: Person, at: datetime) -> bool:
    """Tell whether the person held the skill the task asks for at that moment."""
    held = Skill.objects.filter(site=task.site, person=person, name=task.skill, since__lte=at)
    return not task.skill or held.exclude(until__lte=at).exists()


def _require_words(command: AnswerTask) -> None:
    if command.outcome not in Completion.Outcome.values:
        raise UnknownOutcome("Say whether it is done or not done.")
    if (command.outcome == Completion.Outcome.NOT_DONE) != bool(command.why_not.strip()):
        raise WhyNotMissing("Say why it is not done; what is done needs no reason.")
    if (command.corrects_id is not None) != bool(command.reason.strip()):
        raise ReasonMissing("Say why an earlier answer is changed; a first answer needs no reason.")


def _require_word(task: Task) -> None:
    if "judge" in task.asks:
        raise NeedsProof(
            "No word closes this: record it where it is done, and it closes by itself when it is "
            "good enough. Say not done, and why, if it cannot be done."
        )


def _require_time(command: AnswerTask, task: Task) -> None:
    if command.happened_at < task.opens_at:
        opens = day_and_time(task.opens_at, zone=task.site.zone)
        raise TooEarly(f"This is to be done from {opens} on; come back then.")


def _require_skill(task: Task, by: Person, at: datetime) -> None:
    if not has_skill(task, by, at):
        raise SkillMissing(
            f"This asks for the skill {task.skill}, which {by.full_name} has not been granted; "
            "leave it to somebody who has, or ask a manager."
        )


def _require_place(command: AnswerTask, held: Completion | None, task: Task) -> None:
    """One answer at a time stands; a new one says which it replaces."""
    if command.corrects_id is None and held is not None:
        when = day_and_time(held.happened_at, zone=task.site.zone)
        raise AnsweredBefore(
            f"{held.by.full_name} answered this on {when}: {held.get_outcome_display().lower()}. "
            "Change that answer with a reason instead."
        )
    if command.corrects_id is not None and (held is None or held.pk != command.corrects_id):
        raise NothingToTakeBack("That answer does not stand any more; load the page again.")


def _said(command: AnswerTask) -> dict[str, Any]:
    return {
        "task_id": command.task_id,
        "outcome": command.outcome,
        "why_not": command.why_not.strip(),
        "evidence": _once(command.evidence),
        "happened_at": command.happened_at,
        "corrects_id": command.corrects_id,
        "reason": command.reason.strip(),
    }


def _repeated(command: AnswerTask) -> dict[str, Any]:
    """What a repeated delivery must repeat; whose place it took, the house itself says."""
    said = _said(command)
    if command.corrects_id is None:
        del said["corrects_id"], said["reason"]
    return said


def _instead(command: AnswerTask, task: Task) -> dict[str, Any]:
    """An answer that was taken back is still the first: a new one stands in its place."""
    back = Completion.objects.filter(task=task, correction=None, withdrawn=True).first()
    if command.corrects_id is not None or back is None:
        return {}
    return {"corrects_id": back.pk, "reason": "Answered anew after the first was taken back."}


def _once(keys: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(keys))
