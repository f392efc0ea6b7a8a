"""How many of each lot every vessel held over the last weeks, in three queries whatever is kept."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db.models import Q, QuerySet, Sum

from quarantine.models import CountChange, Lot
from quarantine.rules.deaths_known import Step

_DAY: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """One line of the book since the tide was looked at."""

    at: datetime
    kind: str
    count: int
    from_lot: UUID | None
    from_vessel: UUID | None
    to_lot: UUID | None
    to_vessel: UUID | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tide:
    """``opening`` is what each vessel held of each lot at ``since``; then every line since."""

    since: datetime
    opening: Mapping[tuple[UUID, UUID], int]
    passages: Sequence[Passage]

    def steps(self, vessel_ids: Collection[UUID]) -> dict[UUID, tuple[Step, ...]]:
        """By lot, what these vessels together held and how that changed."""
        found: dict[UUID, list[Step]] = defaultdict(list)
        for (lot, vessel), count in self.opening.items():
            if vessel in vessel_ids and count:
                found[lot].append(Step(self.since, count))
        for passage in self.passages:
            for lot, step in _steps(passage, vessel_ids):
                found[lot].append(step)
        return {lot: tuple(steps) for lot, steps in found.items()}

    def now(self) -> dict[tuple[UUID, UUID], int]:
        """What each vessel holds of each lot after every line."""
        found = defaultdict(int, self.opening)
        for passage in self.passages:
            if passage.to_lot is not None and passage.to_vessel is not None:
                found[passage.to_lot, passage.to_vessel] += passage.count
            if passage.from_lot is not None and passage.from_vessel is not None:
                found[passage.from_lot, passage.from_vessel] -= passage.count
        return dict(found)

    def at_risk(self, since: datetime, until: datetime) -> int:
        """Who was in any of the vessels when the span began, and who came from outside in it."""
        held = sum(self.opening.values())
        for passage in self.passages:
            if passage.at <= since:
                held += _net(passage)
            elif passage.at <= until:
                held += max(_net(passage), 0)
        return held

    def animal_days(self, vessel_ids: Collection[UUID], *, until: datetime) -> float:
        """Animals times days in these vessels from ``since`` on."""
        steps = [step for told in self.steps(vessel_ids).values() for step in told]
        return sum(step.change * ((until - step.at) / _DAY) for step in steps)


def tide(vessel_ids: Collection[UUID], *, since: datetime, until: datetime) -> Tide:
    known = CountChange.objects.current()
    opening: dict[tuple[UUID, UUID], int] = defaultdict(int)
    for side, sign in (("to", 1), ("from", -1)):
        rows = known.filter(**{f"{side}_vessel__in": vessel_ids, "happened_at__lte": since})
        for lot, vessel, count in _summed(rows, side):
            opening[lot, vessel] += sign * count
    touched = Q(to_vessel__in=vessel_ids) | Q(from_vessel__in=vessel_ids)
    rows = known.filter(touched, happened_at__gt=since, happened_at__lte=until)
    passages = [_passage(row) for row in rows.order_by("happened_at", "recorded_at", "pk")]
    return Tide(since=since, opening=dict(opening), passages=passages)


def lots_named(ids: Collection[UUID]) -> dict[UUID, Lot]:
    return Lot.objects.select_related("species").in_bulk(list(ids))


def _summed(rows: QuerySet[CountChange], side: str) -> Iterator[tuple[UUID, UUID, int]]:
    named = rows.exclude(**{f"{side}_lot": None}).values_list(f"{side}_lot", f"{side}_vessel")
    yield from named.annotate(total=Sum("count")).order_by()


def _passage(row: CountChange) -> Passage:
    return Passage(
        at=row.happened_at,
        kind=row.kind,
        count=row.count,
        from_lot=row.from_lot_id,
        from_vessel=row.from_vessel_id,
        to_lot=row.to_lot_id,
        to_vessel=row.to_vessel_id,
    )


def _net(passage: Passage) -> int:
    """How many more there are after it, wherever: moves and splits change nothing."""
    comes = passage.count if passage.to_vessel is not None else 0
    goes = passage.count if passage.from_vessel is not None else 0
    return comes - goes


def _steps(passage: Passage, vessel_ids: Collection[UUID]) -> Iterator[tuple[UUID, Step]]:
    """What stays in the same lot within these vessels changes nothing."""
    comes = passage.to_lot is not None and passage.to_vessel in vessel_ids
    goes = passage.from_lot is not None and passage.from_vessel in vessel_ids
    if comes and goes and passage.from_lot == passage.to_lot:
        return
    if comes and passage.to_lot is not None:
        yield passage.to_lot, Step(passage.at, passage.count)
    if goes and passage.from_lot is not None:
        yield passage.from_lot, Step(passage.at, -passage.count)
