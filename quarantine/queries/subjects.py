"""Lots and consignments as subjects of work: a lot is where most of it is."""

from collections.abc import Collection, Iterator
from datetime import datetime
from uuid import UUID

from django.db.models import Q
from django.urls import reverse

from facility.models import Site
from facility.sockets.subjects import Place
from quarantine.models import Consignment, CountChange, Lot
from quarantine.queries.books import lots_at, posting
from quarantine.rules.books import held
from tanks.models import Vessel


def lots_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    lots = Lot.objects.filter(pk__in=ids).select_related("species")
    homes = _homes(ids)
    return {lot.pk: _place(lot, homes.get(lot.pk)) for lot in lots}


def consignments_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    rows = Consignment.objects.filter(pk__in=ids).select_related("supplier")
    return {
        row.pk: Place(
            name=f"{row.reference} of {row.supplier.name}",
            url=reverse("quarantine:consignment", args=[row.pk]),
            area_id=None,
            hygiene_rank=1,
            site_id=row.site_id,
        )
        for row in rows
    }


def lot_alone(id_: UUID, _: datetime) -> frozenset[str]:
    return frozenset({f"quarantine.lot:{id_}"})


def consignment_alone(id_: UUID, _: datetime) -> frozenset[str]:
    return frozenset({f"quarantine.consignment:{id_}"})


def lots_here(site_id: UUID, at: datetime) -> Iterator[tuple[UUID, str]]:
    """The lots that hold animals, each once."""
    told = lots_at(Site.objects.get(pk=site_id), at=at)
    found = {one.lot.pk: one.lot for one in told}
    return ((pk, f"{lot.code} {lot.species.scientific_name}") for pk, lot in found.items())


def _homes(ids: Collection[UUID]) -> dict[UUID, Vessel]:
    """The vessel that holds most of each lot."""
    rows = CountChange.objects.current().filter(Q(from_lot__in=ids) | Q(to_lot__in=ids))
    counts = sorted(held(posting(row) for row in rows).items(), key=lambda pair: pair[1])
    vessels = Vessel.objects.select_related("area").in_bulk({one.vessel for one, _ in counts})
    return {account.lot: vessels[account.vessel] for account, _ in counts}


def _place(lot: Lot, home: Vessel | None) -> Place:
    where = f" in {home.code}" if home else ""
    return Place(
        name=f"{lot.code} {lot.species.scientific_name}{where}",
        url=reverse("quarantine:lot", args=[lot.pk]),
        area_id=home.area_id if home else None,
        hygiene_rank=home.area.hygiene_rank if home else 1,
        site_id=lot.site_id,
    )
