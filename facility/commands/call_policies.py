"""Set how long the site waits before it calls the next person, and how often it calls."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import CallPolicy, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.calling import FIGURES, OffScale, off_scale


class FigureOffScale(Refusal):
    """``field`` says which."""

    code = "figure-off-scale"

    def __init__(self, fault: OffScale) -> None:
        super().__init__(fault.sentence)
        self.field = fault.name


class SourceMissing(Refusal):
    code = "source-missing"
    field = "source"


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCallPolicy:
    """All times anew, with where they come from; they hold from now on."""

    id: UUID
    site_id: UUID
    answer_within_min: int
    remind_every_min: int
    calls_at_most: int
    usual_shift_h: int
    most_in_a_shift: int
    source: str

    def figures(self) -> dict[str, int]:
        return {figure.name: getattr(self, figure.name) for figure in FIGURES}


@transaction.atomic(durable=True)
def set_call_policy(command: SetCallPolicy, *, by: Person, at: datetime) -> CallPolicy:
    """Call by these times from now on; what was set before stays on record.

    Raises:
        NotFound, NotAllowed, IdTaken, SourceMissing, FigureOffScale
    """
    site = _site_for(by, command.site_id)
    told = command.figures() | {"site_id": site.pk, "source": command.source.strip()}
    if row := earlier(CallPolicy, command.id, told):
        return row
    if not command.source.strip():
        raise SourceMissing("Say where these times come from, or that it is common practice.")
    for fault in off_scale(command.figures()):
        raise FigureOffScale(fault)
    row = CallPolicy.objects.create(id=command.id, happened_at=at, recorded_at=at, by=by, **told)
    ledger.record(
        "facility.set-call-policy",
        [row],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return row


def _site_for(by: Person, site_id: UUID) -> Site:
    site = Site.objects.open_to(by).filter(pk=site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.set-call-policy", site)
    take_turn(site)
    return site
