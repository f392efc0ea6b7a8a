"""Say what recurs, and that it need not any more."""

from dataclasses import asdict, dataclass, field
from datetime import date, datetime, time
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.commands.terms import as_json, require_rank, require_terms
from facility.models import Duty, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.recurrence import BadRule, Rhythm, normal, require_rhythm
from facility.sockets.subjects import Place

MOST_WINDOW_MINUTES: Final = 60 * 24 * 31


class UnreadableRule(Refusal):
    code = "unreadable-rule"
    field = "rule"


class WindowOffScale(Refusal):
    """``field`` says which side of the window."""

    code = "window-off-scale"

    def __init__(self, sentence: str, *, column: str) -> None:
        super().__init__(sentence)
        self.field = column


class UnknownPredecessor(Refusal):
    code = "unknown-predecessor"
    field = "goes_after_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDuty:
    """``rule`` is an RFC 5545 recurrence, counted from ``begins_on`` ``at`` on the site's wall.

    Without ``area_id`` and ``hygiene_rank`` they are those of what it is ``about``.
    """

    id: UUID
    site_id: UUID
    kind: str
    title: str
    about: str
    rule: str
    begins_on: date
    at: time
    opens_before_minutes: int
    late_after_minutes: int
    minutes: int
    why: str = ""
    asks: dict[str, Any] = field(default_factory=dict)
    area_id: UUID | None = None
    hygiene_rank: int | None = None
    skill: str = ""
    goes_after_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EndDuty:
    """What it already asked for stays; nothing falls due after this moment."""

    duty_id: UUID


@transaction.atomic(durable=True)
def set_duty(command: SetDuty, *, by: Person, at: datetime) -> Duty:
    """Set what recurs from now on.

    Raises:
        NotFound, NotAllowed, IdTaken, UnreadableRule, WindowOffScale, UnknownPredecessor,
        RankOffScale, and what ``require_terms`` refuses
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.set-duty", site)
    take_turn(site)
    if duty := earlier(Duty, command.id, _said(command)):
        return duty
    duty = made_duty(command, site=site, at=at)
    duty.save(force_insert=True)
    ledger.record(
        "facility.set-duty",
        [duty],
        about=duty,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return duty


@transaction.atomic(durable=True)
def end_duty(command: EndDuty, *, by: Person, at: datetime) -> Duty:
    """End a duty; ended before, it is returned as it is.

    Raises:
        NotFound, NotAllowed
    """
    duty = Duty.objects.open_to(by).select_related("site").filter(pk=command.duty_id).first()
    if duty is None:
        raise NotFound("There is no such duty here.")
    people.require(by, "facility.end-duty", duty.site)
    take_turn(duty.site)
    duty.refresh_from_db(fields=["ended_at"])
    if duty.ended_at is not None:
        return duty
    duty.ended_at = at
    duty.save(update_fields=["ended_at"])
    ledger.record(
        "facility.end-duty",
        [duty],
        about=duty,
        site=duty.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return duty


def made_duty(command: SetDuty, *, site: Site, at: datetime, place: Place | None = None) -> Duty:
    """Check a duty and make its row, unsaved; ``place`` spares looking up what it is about.

    Raises:
        UnreadableRule, WindowOffScale, UnknownPredecessor, RankOffScale, and what
        ``require_terms`` refuses
    """
    place = require_terms(command, site, place=place)
    rhythm = Rhythm(rule=command.rule, begins_on=command.begins_on, begins_at=command.at)
    try:
        require_rhythm(rhythm, site.zone)
    except BadRule as fault:
        raise UnreadableRule(str(fault)) from fault
    for name in ("opens_before_minutes", "late_after_minutes"):
        _require_window(getattr(command, name), name)
    _require_predecessor(command.goes_after_id, site)
    rank = place.hygiene_rank if command.hygiene_rank is None else command.hygiene_rank
    require_rank(rank)
    area_id = command.area_id or place.area_id
    said = _said(command) | {"id": command.id, "area_id": area_id, "hygiene_rank": rank}
    return Duty(**said, set_at=at)


def _require_window(minutes: int, name: str) -> None:
    if not 0 <= minutes <= MOST_WINDOW_MINUTES:
        raise WindowOffScale(
            f"Write minutes from 0 to {MOST_WINDOW_MINUTES}, which are 31 days.", column=name
        )


def _require_predecessor(pk: UUID | None, site: Site) -> None:
    if pk is not None and not Duty.objects.filter(pk=pk, site=site, ended_at=None).exists():
        raise UnknownPredecessor("Choose a duty of this site that is still in force.")


def _said(command: SetDuty) -> dict[str, Any]:
    """Columns as they are kept; those left to the subject are left out."""
    said = asdict(command) | {
        "title": command.title.strip(),
        "why": command.why.strip(),
        "rule": normal(command.rule),
        "asks": as_json(command.asks),
    }
    unsaid = {name for name in ("area_id", "hygiene_rank") if said[name] is None}
    return {name: value for name, value in said.items() if name not in {"id", *unsaid}}
