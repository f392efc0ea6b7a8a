"""Between a dirty area and a cleaner one: was the kit changed, were the hands disinfected?"""

from dataclasses import asdict, dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import HygieneBreak, Person, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.hygiene import CLEANEST, DIRTIEST


class RankOffScale(Refusal):
    code = "rank-off-scale"
    field = "to_rank"


class NotCleaner(Refusal):
    code = "not-cleaner"
    field = "to_rank"


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBreak:
    """The answer to one question; that neither was done is an answer as well."""

    id: UUID
    site_id: UUID
    from_rank: int
    to_rank: int
    kit_changed: bool
    hands_disinfected: bool
    happened_at: datetime


@transaction.atomic(durable=True)
def take_break(command: TakeBreak, *, by: Person, at: datetime) -> HygieneBreak:
    """Keep what the person says about a step from a dirty area to a cleaner one.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, RankOffScale, NotCleaner
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.take-break", site)
    take_turn(site)
    if row := earlier(HygieneBreak, command.id, asdict(command)):
        return row
    require_past(command.happened_at, at=at)
    _require_step(command)
    row = HygieneBreak.objects.create(**asdict(command), recorded_at=at, by=by)
    ledger.record(
        "facility.take-break",
        [row],
        about=site,
        site=site,
        by=by,
        happened_at=row.happened_at,
        recorded_at=at,
    )
    return row


def _require_step(command: TakeBreak) -> None:
    if not all(CLEANEST <= rank <= DIRTIEST for rank in (command.from_rank, command.to_rank)):
        raise RankOffScale("Give hygiene ranks from 1 (cleanest) to 9.")
    if command.to_rank >= command.from_rank:
        raise NotCleaner("A break lies between a dirty area and a cleaner one; turn the two round.")
