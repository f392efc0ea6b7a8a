"""What one shift writes for the next."""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility import models
from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal


class NothingWritten(Refusal):
    code = "nothing-written"
    field = "text"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    id: UUID
    site_id: UUID
    text: str
    happened_at: datetime


@transaction.atomic(durable=True)
def hand_over(command: HandOver, *, by: Person, at: datetime) -> models.HandOver:
    """Keep a note for whoever comes next.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, NothingWritten
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.hand-over", site)
    take_turn(site)
    if row := earlier(models.HandOver, command.id, asdict(command)):
        return row
    require_past(command.happened_at, at=at)
    if not command.text.strip():
        raise NothingWritten("Write what the next shift has to know.")
    row = models.HandOver.objects.create(**asdict(command), recorded_at=at, by=by)
    ledger.record(
        "facility.hand-over",
        [row],
        about=site,
        site=site,
        by=by,
        happened_at=row.happened_at,
        recorded_at=at,
    )
    return row
