"""Which vessels hold animals that have not been released into them."""

from collections.abc import Collection, Iterable
from datetime import datetime
from uuid import UUID

from quarantine.models import Lot, Move
from quarantine.queries.books import lots_in

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
