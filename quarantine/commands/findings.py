"""Keep what a test of some animals found, or that its result is awaited."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.commands.books import lot_for
from quarantine.models import Finding, Lot
from tanks.commands.entering import require_standing
from tanks.commands.finding import vessel_for
from tanks.models import Vessel

_DEED: Final = "quarantine.log-finding"
_CAME_IN: Final = "The result came in."


class SubjectMissing(Refusal):
    code = "subject-missing"
    field = "lot_id"


class AgentMissing(Refusal):
    code = "agent-missing"
    field = "agent"


class MethodMissing(Refusal):
    code = "method-missing"
    field = "method"


class SampledMissing(Refusal):
    code = "sampled-missing"
    field = "sampled"


class PositivesWrong(Refusal):
    code = "positives-wrong"
    field = "positive"


class ResultUnsaid(Refusal):
    code = "result-unsaid"
    field = "result"


class OtherSample(Refusal):
    code = "other-sample"
    field = "answers_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogFinding:
    """``sampled`` animals of a lot or a tank were tested for ``agent``.

    ``answers_id`` names the finding whose result was awaited and comes in with this one.
    """

    id: UUID
    happened_at: datetime
    agent: str
    method: str
    sampled: int
    result: str
    positive: int | None = None
    vessel_id: UUID | None = None
    lot_id: UUID | None = None
    laboratory: str = ""
    is_notifiable: bool = False
    note: str = ""
    answers_id: UUID | None = None


@transaction.atomic(durable=True)
def log_finding(command: LogFinding, *, by: Person, at: datetime) -> Finding:
    """Keep a result; one that was awaited is corrected by the one that came in.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, SubjectMissing, AgentMissing, MethodMissing,
        SampledMissing, PositivesWrong, ResultUnsaid, OtherSample, CorrectedBefore
    """
    subject, site = _subject(by, command)
    columns = _columns(command)
    if row := earlier(Finding, command.id, columns):
        return row
    require_past(command.happened_at, at=at)
    _require_said(command)
    _require_answer(command)
    row = Finding.objects.create(
        **columns, reason=_CAME_IN if command.answers_id else "", recorded_at=at, by=by
    )
    when = command.happened_at
    ledger.record(_DEED, [row], about=subject, site=site, by=by, happened_at=when, recorded_at=at)
    return row


def _subject(by: Person, command: LogFinding) -> tuple[Lot | Vessel, Site]:
    """The tank where one is named, so that its water is looked at; else the lot."""
    lot = lot_for(by, command.lot_id, deed=_DEED) if command.lot_id else None
    vessel = vessel_for(by, command.vessel_id, deed=_DEED) if command.vessel_id else None
    subject = vessel or lot
    if subject is None:
        raise SubjectMissing("Say which lot or which tank was tested.")
    if lot and vessel and lot.site_id != vessel.site_id:
        raise NotFound("There is no such lot here.")
    return subject, subject.site


def _columns(command: LogFinding) -> dict[str, Any]:
    columns = asdict(command)
    columns["corrects_id"] = columns.pop("answers_id")
    return columns | {name: columns[name].strip() for name in _TEXTS}


_TEXTS: Final = ("agent", "method", "laboratory", "note")


def _require_said(command: LogFinding) -> None:
    if not command.agent.strip():
        raise AgentMissing("Write what was looked for.")
    if not command.method.strip():
        raise MethodMissing("Write the method, such as microscopy of gill or PCR.")
    if command.sampled < 1:
        raise SampledMissing("Write how many animals were sampled, 1 or more.")
    _require_count(command)


def _require_count(command: LogFinding) -> None:
    positive, result = command.positive, command.result
    if result not in Finding.Result.values:
        raise ResultUnsaid("Choose the result, or say that it is awaited.")
    if positive is not None and not 0 <= positive <= command.sampled:
        raise PositivesWrong(f"Of {command.sampled} animals, from 0 to all can be positive.")
    wanted = {"PENDING": positive is None, "NEGATIVE": positive == 0, "POSITIVE": bool(positive)}
    if not wanted.get(result, True):
        raise PositivesWrong(_ASKED[result])


_ASKED: Final = {
    "PENDING": "While the result is awaited, leave the number of positives empty.",
    "NEGATIVE": "Where it was not found, 0 were positive: write 0.",
    "POSITIVE": "Write how many were positive, 1 or more.",
}


def _require_answer(command: LogFinding) -> None:
    if command.answers_id is None:
        return
    first = Finding.objects.filter(pk=command.answers_id).first()
    same = {"vessel_id": command.vessel_id, "lot_id": command.lot_id}
    if first is None or any(getattr(first, name) != value for name, value in same.items()):
        raise OtherSample("The result must be of the sample it answers: the same lot and tank.")
    require_standing(first)
    if first.result != Finding.Result.PENDING:
        raise OtherSample("That sample's result is in already.")
