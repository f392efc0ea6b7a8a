"""How many animals of which lot are where, now or at any moment, as known now or then."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from facility.models import Site
from quarantine.models import CountChange, Lot
from quarantine.rules.books import Account, Posting, held, totals
from tanks.models import Vessel


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """``count`` animals of ``lot`` in ``vessel``."""

    lot: Lot
    vessel: Vessel
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """Everything that came into a lot and left it, and what is left.

    ``arrived`` counts those alive on arrival; ``dead_on_arrival`` never entered a vessel.
    ``other_in`` and ``other_out`` are splits and mergers; ``corrected`` is signed.
    """

    arrived: int
    dead_on_arrival: int
    bred: int
    found: int
    died: int
    euthanised: int
    sold: int
    left: int
    missing: int
    other_in: int
    other_out: int
    corrected: int
    remaining: int

    @property
    def came(self) -> int:
        return self.arrived + self.bred + self.found + self.other_in

    @property
    def closes(self) -> bool:
        """What came less what went is what is left."""
        gone = self.died + self.euthanised + self.sold + self.left + self.missing + self.other_out
        return self.came - gone + self.corrected == self.remaining


def changes_of(
    lot_ids: Collection[UUID], *, as_recorded_at: datetime | None = None
) -> QuerySet[CountChange]:
    """What is held true about these lots; with a moment, what was held true by then."""
    rows = CountChange.objects.filter(Q(from_lot__in=lot_ids) | Q(to_lot__in=lot_ids))
    return _held_true(rows, as_recorded_at).order_by("happened_at", "recorded_at", "pk")


def postings_of(
    lot_ids: Collection[UUID], *, as_recorded_at: datetime | None = None
) -> list[Posting]:
    return [posting(row) for row in changes_of(lot_ids, as_recorded_at=as_recorded_at)]


def book(lot: Lot, *, at: datetime | None = None, as_recorded_at: datetime | None = None) -> Book:
    """Return the book of a lot: as it stood at ``at``, as it was known at ``as_recorded_at``."""
    rows = postings_of([lot.pk], as_recorded_at=as_recorded_at)
    told = [row for row in rows if at is None or row.at <= at]
    by_kind = totals(told, lot.pk)
    arrived_dead = sum(
        row.count
        for row in changes_of([lot.pk], as_recorded_at=as_recorded_at)
        if row.kind == CountChange.Kind.DEAD_ON_ARRIVAL and (at is None or row.happened_at <= at)
    )
    return Book(
        arrived=by_kind.get("ARRIVED", 0),
        dead_on_arrival=arrived_dead,
        bred=by_kind.get("BRED", 0),
        found=by_kind.get("FOUND", 0),
        died=by_kind.get("DIED_OUT", 0),
        euthanised=by_kind.get("EUTHANISED_OUT", 0),
        sold=by_kind.get("SOLD_OUT", 0),
        left=by_kind.get("LEFT_OUT", 0),
        missing=by_kind.get("MISSING_OUT", 0),
        other_in=by_kind.get("SPLIT", 0) + by_kind.get("MERGED", 0),
        other_out=by_kind.get("SPLIT_OUT", 0) + by_kind.get("MERGED_OUT", 0),
        corrected=by_kind.get("CORRECTED", 0) - by_kind.get("CORRECTED_OUT", 0),
        remaining=sum(count for account, count in held(told).items() if account.lot == lot.pk),
    )


def held_by(
    lot: Lot, *, at: datetime, as_recorded_at: datetime | None = None
) -> Mapping[UUID, int]:
    """Return how many of the lot each vessel held at ``at``."""
    rows = postings_of([lot.pk], as_recorded_at=as_recorded_at)
    return {
        account.vessel: count
        for account, count in held(rows, at=at).items()
        if account.lot == lot.pk
    }


def lots_in(vessel_ids: Collection[UUID], *, at: datetime) -> list[Held]:
    """Which lots these vessels held at ``at``, by code, each with its species."""
    rows = CountChange.objects.filter(
        Q(from_vessel__in=vessel_ids) | Q(to_vessel__in=vessel_ids), happened_at__lte=at
    )
    return _named([posting(row) for row in _held_true(rows, None)], set(vessel_ids))


def lots_at(site: Site, *, at: datetime, as_recorded_at: datetime | None = None) -> list[Held]:
    """The inventory of a site at ``at``: as now known, or as it was known by a moment."""
    rows = CountChange.objects.filter(
        Q(from_lot__site=site) | Q(to_lot__site=site), happened_at__lte=at
    )
    return _named([posting(row) for row in _held_true(rows, as_recorded_at)], None)


def posting(row: CountChange) -> Posting:
    return Posting(
        at=row.happened_at,
        kind=row.kind,
        count=row.count,
        source=_account(row.from_lot_id, row.from_vessel_id),
        target=_account(row.to_lot_id, row.to_vessel_id),
    )


def _account(lot: UUID | None, vessel: UUID | None) -> Account | None:
    return Account(lot, vessel) if lot and vessel else None


def _held_true(rows: QuerySet[CountChange], moment: datetime | None) -> QuerySet[CountChange]:
    if moment is None:
        return rows.filter(correction=None, withdrawn=False)
    known = rows.filter(recorded_at__lte=moment, withdrawn=False)
    return known.exclude(correction__recorded_at__lte=moment)


def _named(rows: list[Posting], vessel_ids: set[UUID] | None) -> list[Held]:
    counts = {
        account: count
        for account, count in held(rows).items()
        if vessel_ids is None or account.vessel in vessel_ids
    }
    lots = Lot.objects.select_related("species", "supplier").in_bulk({one.lot for one in counts})
    vessels = Vessel.objects.select_related("area", "site").in_bulk({one.vessel for one in counts})
    found = [
        Held(lot=lots[one.lot], vessel=vessels[one.vessel], count=count)
        for one, count in counts.items()
    ]
    return sorted(found, key=lambda one: (one.lot.code, one.vessel.code, one.vessel.pk))
