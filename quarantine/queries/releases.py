"""Which vessels hold animals that have not been released into them."""

from collections.abc import Collection, Iterable
from datetime import datetime
from uuid import UUID

from facility.models import Site
from quarantine.models import Lot, Move
from quarantine.queries.books import lots_at, lots_in
from tanks.models import Vessel

# Animals bred here, or here before the book was opened, were never in quarantine.
_FROM_OUTSIDE = frozenset({Lot.Made.ARRIVED, Lot.Made.SPLIT, Lot.Made.MERGED})


def kept_apart(
    lots: Iterable[Lot], vessel_ids: Collection[UUID], *, at: datetime
) -> frozenset[UUID]:
    """Vessels where at least one lot from outside has not come by a release."""
    foreign = {lot.pk for lot in lots if lot.made in _FROM_OUTSIDE}
    moves = Move.objects.current().filter(
        change__to_vessel__in=vessel_ids, change__happened_at__lte=at, release__isnull=False
    )
    released = set(moves.values_list("change__to_lot_id", "change__to_vessel_id"))
    return frozenset(
        held.vessel.pk
        for held in lots_in(vessel_ids, at=at)
        if held.lot.pk in foreign and (held.lot.pk, held.vessel.pk) not in released
    )


def tanks_apart(site_id: UUID, at: datetime) -> list[str]:
    """Ledger keys of the tanks that hold animals still in quarantine, by code."""
    held = lots_at(Site.objects.get(pk=site_id), at=at)
    vessels = {one.vessel.pk: one.vessel for one in held}
    apart = kept_apart({one.lot.pk: one.lot for one in held}.values(), vessels, at=at)
    return [
        f"tanks.vessel:{each.pk}"
        for each in sorted(vessels.values(), key=_code)
        if each.pk in apart
    ]


def _code(vessel: Vessel) -> str:
    return vessel.code
