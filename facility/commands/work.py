"""Ask for one piece of work: a follow-up, a retest, anything a duty does not bring round."""

from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.commands.terms import as_json, require_rank, require_terms
from facility.models import Person, Site, Task
from facility.queries import people
from facility.refusals import NotFound, Refusal


class WindowAskew(Refusal):
    code = "window-askew"
    field = "due_at"


class UnknownPredecessor(Refusal):
    code = "unknown-predecessor"
    field = "goes_after_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class RaiseTask:
    """``raised_by`` names the ledger line or row that made it necessary.

    Without ``area_id`` and ``hygiene_rank`` they are those of what it is ``about``.
    """

    id: UUID
    site_id: UUID
    kind: str
    title: str
    why: str
    about: str
    opens_at: datetime
    due_at: datetime
    late_at: datetime
    minutes: int
    asks: dict[str, Any] = field(default_factory=dict)
    area_id: UUID | None = None
    hygiene_rank: int | None = None
    skill: str = ""
    goes_after_id: UUID | None = None
    raised_by: str = ""


@transaction.atomic(durable=True)
def raise_task(command: RaiseTask, *, by: Person, at: datetime) -> Task:
    """Ask for a piece of work once.

    Raises:
        NotFound, NotAllowed, IdTaken, WindowAskew, UnknownPredecessor, RankOffScale, and what
        ``require_terms`` refuses
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.raise-task", site)
    take_turn(site)
    if task := earlier(Task, command.id, _said(command)):
        return task
    task = added_task(command, site=site, at=at)
    ledger.record(
        "facility.raise-task",
        [task],
        about=task,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return task


def added_task(command: RaiseTask, *, site: Site, at: datetime) -> Task:
    """Add the task inside another command's transaction, which records it along with its own.

    Delivered before, it is returned as it is.

    Raises:
        IdTaken, WindowAskew, UnknownPredecessor, RankOffScale, and what ``require_terms`` refuses
    """
    if task := earlier(Task, command.id, _said(command)):
        return task
    place = require_terms(command, site)
    if not command.opens_at <= command.due_at <= command.late_at:
        raise WindowAskew("It must open before it is due, and be late only after that.")
    rank = place.hygiene_rank if command.hygiene_rank is None else command.hygiene_rank
    require_rank(rank)
    _require_predecessor(command.goes_after_id, site)
    said = asdict(command) | {
        "asks": as_json(command.asks),
        "title": command.title.strip(),
        "area_id": command.area_id or place.area_id,
        "hygiene_rank": rank,
    }
    return Task.objects.create(**said, raised_at=at)


def _require_predecessor(pk: UUID | None, site: Site) -> None:
    if pk is not None and not Task.objects.filter(pk=pk, site=site).exists():
        raise UnknownPredecessor("Choose a task of this site that goes before.")


def _said(command: RaiseTask) -> dict[str, Any]:
    """Columns a repeated delivery must repeat; those left to the subject may be left again."""
    said = asdict(command) | {"asks": as_json(command.asks), "title": command.title.strip()}
    for name in ("area_id", "hygiene_rank"):
        if said[name] is None:
            del said[name]
    return {name: value for name, value in said.items() if name != "id"}
