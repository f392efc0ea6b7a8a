"""Say what was seen of the animals in a tank."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.models import SIGNS, Lot, Observation
from tanks.commands.befalling import begin, record, scaled
from tanks.models import Vessel


class UnknownSigns(Refusal):
    code = "unknown-signs"
    field = "signs"


class NoteMissing(Refusal):
    code = "note-missing"
    field = "note"


class FeedingUnsaid(Refusal):
    code = "feeding-unsaid"
    field = "feeding"


class RespirationUnsaid(Refusal):
    code = "respiration-unsaid"
    field = "respiration"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogObservation:
    """``lot_id`` None is all animals of the tank; without ``signs`` none were seen.

    ``photos`` are ids of photos kept beside it, which may arrive later.
    """

    id: UUID
    vessel_id: UUID
    happened_at: datetime
    feeding: str
    respiration: str
    lot_id: UUID | None = None
    seen_count: int | None = None
    signs: tuple[str, ...] = ()
    note: str = ""
    photos: tuple[UUID, ...] = ()


@transaction.atomic(durable=True)
def log_observation(command: LogObservation, *, by: Person, at: datetime) -> Observation:
    """Keep a look at a tank.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, FeedingUnsaid,
        RespirationUnsaid, UnknownSigns, NoteMissing
    """
    columns = scaled(command, {}) | {"note": command.note.strip()}
    columns |= {"signs": list(command.signs), "photos": list(command.photos)}
    deed = "quarantine.log-observation"
    vessel, delivered = begin(Observation, columns, deed, by=by, at=at)
    if delivered:
        return delivered
    _require_said(command)
    require_lot(command.lot_id, vessel)
    row = Observation.objects.create(**columns, recorded_at=at, by=by)
    record(deed, row, vessel, by=by, at=at)
    return row


def require_signs(signs: tuple[str, ...], note: str) -> None:
    """Refuse a sign the list does not know, and one that is only "something else".

    Raises:
        UnknownSigns, NoteMissing
    """
    if not SIGNS.keys() >= set(signs) or len(set(signs)) < len(signs):
        raise UnknownSigns("Choose among the signs of the list, each once.")
    if "OTHER" in signs and not note.strip():
        raise NoteMissing("Say in a few words what else was seen.")


def require_lot(lot_id: UUID | None, vessel: Vessel) -> None:
    """Refuse a lot of another site.

    Raises:
        NotFound
    """
    if lot_id is None:
        return
    if not Lot.objects.filter(pk=lot_id, site=vessel.site_id).exists():
        raise NotFound("There is no such lot here.")


def _require_said(command: LogObservation) -> None:
    if command.feeding not in Observation.Feeding.values:
        raise FeedingUnsaid("Say whether they ate, or that nothing was offered.")
    if command.respiration not in Observation.Respiration.values:
        raise RespirationUnsaid("Say how they breathed, or that it cannot be judged.")
    require_signs(command.signs, command.note)
