"""Animals that came together, followed through every lot split from theirs."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db.models import Q

from facility.models import Site
from quarantine.models import Cause, CountChange, Death, Lot, LotParent
from quarantine.rules.losses import Family
from quarantine.rules.survival import Lives

_DAY: Final = timedelta(days=1)
_DIES: Final = frozenset({"DIED", "EUTHANISED"})


def families_of(site: Site, *, since: datetime, at: datetime) -> list[Family]:
    """Every lot that arrived since then, with what became of it by ``at``.

    Sold, left, missing, merged away, corrected down or taken for a test: seen alive until then.
    """
    roots = Lot.objects.filter(site=site, made=Lot.Made.ARRIVED, acquired_at__gt=since)
    known = {lot.pk: lot for lot in roots.select_related("species", "supplier")}
    member_of = _members(site, known)
    changes = _changes(member_of, at)
    tested = _tested(site)
    return [_family(lot, changes.get(pk, []), member_of, tested, at) for pk, lot in known.items()]


def _members(site: Site, roots: Iterable[UUID]) -> dict[UUID, UUID]:
    """By lot its root: the root itself, and what was split from it, however often."""
    children: dict[UUID, list[UUID]] = defaultdict(list)
    splits = LotParent.objects.filter(child__site=site, child__made=Lot.Made.SPLIT)
    for child, parent in splits.values_list("child_id", "parent_id"):
        children[parent].append(child)
    found: dict[UUID, UUID] = {}
    for root in roots:
        waiting = [root]
        while waiting:
            lot = waiting.pop()
            found[lot] = root
            waiting += children[lot]
    return found


def _changes(member_of: Mapping[UUID, UUID], at: datetime) -> dict[UUID, list[CountChange]]:
    rows = CountChange.objects.current().filter(
        Q(from_lot__in=member_of) | Q(to_lot__in=member_of), happened_at__lte=at
    )
    found: dict[UUID, list[CountChange]] = defaultdict(list)
    for row in rows.order_by("happened_at", "recorded_at"):
        lots = (row.from_lot_id, row.to_lot_id)
        for root in {member_of[lot] for lot in lots if lot in member_of}:
            found[root].append(row)
    return found


def _tested(site: Site) -> set[UUID]:
    """Lines of the book about animals that were taken for a test."""
    rows = Death.objects.current().filter(change__from_lot__site=site, cause=Cause.TEST)
    return set(rows.values_list("change_id", flat=True))


def _family(
    lot: Lot,
    rows: list[CountChange],
    member_of: Mapping[UUID, UUID],
    tested: set[UUID],
    at: datetime,
) -> Family:
    came = [row for row in rows if _is_in(row.to_lot_id, lot, member_of)]
    coming = [row for row in came if not _is_in(row.from_lot_id, lot, member_of)]
    dead = sum(row.count for row in coming if row.kind == "DEAD_ON_ARRIVAL")
    arrived = sum(row.count for row in coming if row.kind != "DEAD_ON_ARRIVAL")
    ends = tuple(_ends(lot, rows, member_of, tested))
    return Family(
        code=lot.code,
        species=str(lot.species),
        supplier=lot.supplier.name if lot.supplier else "no supplier known",
        arrived=arrived,
        dead_on_arrival=dead,
        ends=ends,
        alive=arrived - sum(end.count for end in ends),
        age_days=max((at - lot.acquired_at) / _DAY, 0.0),
    )


def _ends(
    lot: Lot, rows: Iterable[CountChange], member_of: Mapping[UUID, UUID], tested: set[UUID]
) -> Iterator[Lives]:
    for row in rows:
        goes = _is_in(row.from_lot_id, lot, member_of)
        if goes and not _is_in(row.to_lot_id, lot, member_of):
            days = max((row.happened_at - lot.acquired_at) / _DAY, 0.0)
            died = row.kind in _DIES and row.pk not in tested
            yield Lives(days=days, count=row.count, died=died)


def _is_in(key: UUID | None, lot: Lot, member_of: Mapping[UUID, UUID]) -> bool:
    return key is not None and member_of.get(key) == lot.pk
