"""Sign that animals may leave quarantine for another water: both ends judged together."""

from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID, uuid5

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.commands.admissions import MeaningMissing, admit
from quarantine.commands.books import lot_for
from quarantine.models import Admission, Lot, Release
from quarantine.queries.judging import Judged, judged
from quarantine.rules.release import hindrances
from tanks.models import Vessel
from tanks.queries.policies import policy_at
from tanks.rules.requirements import as_plain

_VALID_WITHOUT_POLICY = timedelta(hours=24)


class ReleaseRefused(Refusal):
    """``hindrances`` holds a sentence for each requirement that is not met or unknown."""

    code = "release-refused"

    def __init__(self, judged: Judged) -> None:
        self.hindrances = tuple(hindrances(judged.requirements))
        super().__init__(" ".join([judged.answer, *self.hindrances]))


class FeedNegative(Refusal):
    code = "feed-negative"
    field = "feed_g_per_day"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseLot:
    """``count`` of the lot may leave ``vessel_id`` for the water of ``destination_id``.

    ``feed_g_per_day`` is what they will be fed there; ``meaning`` what the signature stands for.
    """

    id: UUID
    lot_id: UUID
    vessel_id: UUID
    destination_id: UUID
    count: int
    feed_g_per_day: Decimal
    meaning: str


@transaction.atomic(durable=True)
def release_lot(command: ReleaseLot, *, by: Person, at: datetime) -> Release:
    """Let animals leave; the requirements are kept as they were met.

    The first animals of a water open its gate with the same signature.

    Raises:
        NotFound, NotAllowed, IdTaken, MeaningMissing, FeedNegative, ReleaseRefused, SamePerson
    """
    lot = lot_for(by, command.lot_id, deed="quarantine.release-lot")
    vessel, destination = (
        vessel_here(lot, pk) for pk in (command.vessel_id, command.destination_id)
    )
    columns = asdict(command) | {"meaning": command.meaning.strip()}
    # A second person who sends the same has not signed: the signature on record is another's.
    if release := earlier(Release, command.id, columns | {"by_id": by.pk}):
        return release
    _require_said(command)
    found = judged(
        lot,
        vessel,
        destination,
        count=command.count,
        feed_g_per_day=float(command.feed_g_per_day),
        at=at,
    )
    if not found.opens:
        raise ReleaseRefused(found)
    admission = _admission(command, destination, found, by=by, at=at)
    release = Release.objects.create(
        **columns,
        admission=admission,
        requirements=as_plain(found.requirements),
        happened_at=at,
        recorded_at=at,
        by=by,
    )
    ledger.record(
        "quarantine.release-lot",
        [release, *([admission] if admission else [])],
        about=lot,
        site=lot.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return release


def vessel_here(lot: Lot, vessel_id: UUID) -> Vessel:
    """Return a tank or system of the lot's site.

    Raises:
        NotFound
    """
    rows = Vessel.objects.select_related("site", "area").filter(site=lot.site_id)
    vessel = rows.filter(pk=vessel_id).first()
    if vessel is None:
        raise NotFound("There is no such tank or system here.")
    return vessel


def released_until(release: Release) -> datetime:
    """Return until when they may be moved: as long as readings count as fresh."""
    policy = policy_at(release.lot.site, at=release.happened_at)
    if policy is None:
        return release.happened_at + _VALID_WITHOUT_POLICY
    return release.happened_at + timedelta(hours=float(policy.reading_fresh_hours))


def _require_said(command: ReleaseLot) -> None:
    if not command.meaning.strip():
        raise MeaningMissing("Write what your signature stands for.")
    if command.feed_g_per_day < 0:
        raise FeedNegative("Write how much they will be fed, 0 or more.")


def _admission(
    command: ReleaseLot, destination: Vessel, found: Judged, *, by: Person, at: datetime
) -> Admission | None:
    if found.gate is None:
        return None
    columns = {
        "id": uuid5(command.id, "admission"),
        "vessel_id": destination.pk,
        "meaning": command.meaning.strip(),
    }
    return admit(columns, found.gate, by=by, at=at)
