"""What entered which water: animals, by the book, and kit that was not disinfected."""

from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from facility.models import Site
from quarantine.models import CountChange, Kit, KitCleaning, KitUse, Release
from quarantine.rules.clocks import Flow, Freed, Touch
from tanks.models import Vessel
from tanks.rules.waters import Opening, together


def entries_into(vessel_ids: Collection[UUID], *, at: datetime) -> list[Flow]:
    """Every line of the book that touches these vessels, oldest first."""
    rows = CountChange.objects.current().filter(
        Q(from_vessel__in=vessel_ids) | Q(to_vessel__in=vessel_ids), happened_at__lte=at
    )
    known = rows.select_related("to_lot", "to_vessel", "from_vessel")
    return [flow_of(row) for row in known.order_by("happened_at", "recorded_at", "pk")]


def flow_of(row: CountChange) -> Flow:
    return Flow(
        at=row.happened_at,
        count=row.count,
        from_lot=row.from_lot_id,
        from_vessel=row.from_vessel_id,
        to_lot=row.to_lot_id,
        to_vessel=row.to_vessel_id,
        is_arrival=row.kind == CountChange.Kind.ARRIVED,
        told=_told(row),
    )


def sphere(
    site: Site, vessel_ids: Iterable[UUID], openings: list[Opening], touches: Iterable[Touch]
) -> frozenset[UUID]:
    """Every vessel from which something can ever have reached these, themselves included."""
    company, wet = _companies(openings), list(touches)
    found: set[UUID] = set()
    new = _with_company(set(vessel_ids), company)
    while new:
        found |= new
        moved = CountChange.objects.current().filter(to_vessel__in=new, from_vessel__site=site)
        before = set(moved.values_list("from_vessel", flat=True).order_by("from_vessel"))
        before |= {touch.from_vessel for touch in wet if touch.to_vessel in new}
        new = _with_company(before, company) - found
    return frozenset(found)


def touches_at(site: Site, *, at: datetime) -> list[Touch]:
    """Kit that went from one vessel to another and was not disinfected or dried between."""
    uses = KitUse.objects.current().filter(kit__site=site, happened_at__lte=at)
    uses = uses.exclude(kit__kind=Kit.Kind.FEED_BATCH).select_related("kit", "vessel")
    cleanings = KitCleaning.objects.current().filter(kit__site=site, happened_at__lte=at)
    barriers = cleanings.exclude(means=KitCleaning.Means.RINSED)
    acts = sorted([*uses, *barriers], key=lambda row: (row.happened_at, row.recorded_at, row.pk))
    return list(_touches(acts))


def freed_at(vessel_ids: Collection[UUID], *, at: datetime) -> list[Freed]:
    rows = Release.objects.current().filter(vessel__in=vessel_ids, happened_at__lte=at)
    return [
        Freed(at=row.happened_at, lot=row.lot_id, vessel=row.vessel_id)
        for row in rows.order_by("happened_at", "pk")
    ]


def _told(row: CountChange) -> str:
    lot, vessel = row.to_lot, row.to_vessel
    if lot is None or vessel is None:
        return ""
    if row.from_vessel is not None:
        return f"{lot.code} was moved from {row.from_vessel.code} into {vessel.code}"
    return f"{lot.code} entered {vessel.code}"


def _companies(openings: list[Opening]) -> dict[UUID, set[UUID]]:
    """With whom each vessel ever shared water, directly or through others."""
    return {
        vessel: {end for one in links for end in (one.vessel, one.system)}
        for vessel, links in together(openings).items()
    }


def _with_company(vessels: set[UUID], company: dict[UUID, set[UUID]]) -> set[UUID]:
    return vessels.union(*(company.get(vessel, set()) for vessel in vessels))


def _touches(acts: Iterable[KitUse | KitCleaning]) -> Iterator[Touch]:
    wet: dict[UUID, dict[UUID, Vessel]] = {}
    for act in acts:
        if isinstance(act, KitCleaning):
            wet.pop(act.kit_id, None)
            continue
        been = wet.setdefault(act.kit_id, {})
        for vessel in been.values():
            if vessel.pk != act.vessel_id:
                yield _touch(act, vessel)
        been[act.vessel_id] = act.vessel


def _touch(use: KitUse, source: Vessel) -> Touch:
    return Touch(
        at=use.happened_at,
        from_vessel=source.pk,
        to_vessel=use.vessel_id,
        told=f"{use.kit.code} went from {source.code} to {use.vessel.code} not disinfected",
    )
