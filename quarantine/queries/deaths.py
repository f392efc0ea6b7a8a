"""Deaths as they are known now: who, where, how many, and whether anybody knows why."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Prefetch, QuerySet

from facility.models import Person
from quarantine.models import CarcassFate, Cause, Death, Lot, Necropsy


@dataclass(frozen=True, slots=True, kw_only=True)
class DeathTold:
    """``is_explained`` at first, or by a necropsy since."""

    id: UUID
    at: datetime
    lot_id: UUID
    vessel_id: UUID
    vessel_code: str
    count: int
    is_explained: bool
    is_euthanasia: bool


def deaths_in(
    vessel_ids: Collection[UUID], *, since: datetime, until: datetime
) -> Iterator[DeathTold]:
    """Yield deaths in these vessels, oldest first; animals taken for a test are none."""
    rows = deaths_related(Death.objects.current()).filter(
        change__from_vessel__in=vessel_ids, happened_at__gt=since, happened_at__lte=until
    )
    yield from map(_told, rows.exclude(cause=Cause.TEST).order_by("happened_at", "pk"))


def deaths_related(rows: QuerySet[Death]) -> QuerySet[Death]:
    """With lot, vessel, necropsies and what became of the carcass, in three queries."""
    necropsies = Necropsy.objects.current().order_by("happened_at").select_related("by")
    fates = CarcassFate.objects.current().order_by("happened_at").select_related("by")
    return rows.select_related(
        "by", "change__from_lot__species", "change__from_vessel__area", "change__from_vessel__site"
    ).prefetch_related(
        Prefetch("necropsies", necropsies, to_attr="opened"),
        Prefetch("fates", fates, to_attr="moved"),
    )


def deaths_open_to(person: Person) -> QuerySet[Death]:
    return deaths_related(Death.objects.filter(change__from_lot__in=Lot.objects.open_to(person)))


def is_explained(death: Death) -> bool:
    """At first, or by the latest necropsy; of a death read with ``deaths_related``."""
    opened: list[Necropsy] = getattr(death, "opened", [])
    return death.is_explained or any(each.cause != Cause.UNKNOWN for each in opened)


def _told(death: Death) -> DeathTold:
    change = death.change
    lot, vessel = change.from_lot, change.from_vessel
    assert lot is not None  # noqa: S101  the book has both sides of every death
    assert vessel is not None  # noqa: S101
    return DeathTold(
        id=death.pk,
        at=death.happened_at,
        lot_id=lot.pk,
        vessel_id=vessel.pk,
        vessel_code=vessel.code,
        count=change.count,
        is_explained=is_explained(death),
        is_euthanasia=change.kind == "EUTHANISED",
    )
