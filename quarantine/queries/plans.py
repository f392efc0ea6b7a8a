"""The stocking plan of a water, held against what its filter has proven."""

from dataclasses import dataclass

from quarantine.models import PlannedEntry
from quarantine.queries.books import held_by
from quarantine.queries.clocks import waiting_of
from quarantine.queries.ramps import FeedRamp, feed_ramp
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.clocks import Clock
from quarantine.rules.ramping import Load, Planned, loads
from tanks.models import Vessel
from tanks.queries.waters import Water


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One planned entry: the feed after it, and until when the lot still waits.

    ``is_in`` once animals of the lot are in the water; ``load`` is None without a certificate.
    """

    row: PlannedEntry
    load: Load | None
    clock: Clock | None
    is_in: bool

    @property
    def comes_too_early(self) -> bool:
        """The lot may not leave before its day is over."""
        ends_at = self.clock.ends_at if self.clock else None
        zone = self.row.vessel.site.zone
        return ends_at is not None and ends_at.astimezone(zone).date() > self.row.planned_on


@dataclass(frozen=True, slots=True, kw_only=True)
class StockingPlan:
    water: Water
    ramp: FeedRamp
    lines: tuple[Line, ...]


def stocking_plan(water: Water) -> StockingPlan:
    """Return the plan in order of days."""
    ramp = feed_ramp(water, stay_rules_at(water.anchor.site, at=water.at).policy)
    rows = list(
        PlannedEntry.objects.current()
        .filter(vessel__in=water.member_ids)
        .select_related("lot__site", "lot__species", "lot__consignment", "species", "vessel__site")
        .order_by("planned_on", "recorded_at", "pk")
    )
    inside = [_is_in(row, water) for row in rows]
    ahead = [row for row, is_in in zip(rows, inside, strict=True) if not is_in]
    found = dict(zip([row.pk for row in ahead], _loads(ahead, ramp), strict=True))
    lines = [
        Line(row=row, load=found.get(row.pk), clock=_clock(row, water), is_in=is_in)
        for row, is_in in zip(rows, inside, strict=True)
    ]
    return StockingPlan(water=water, ramp=ramp, lines=tuple(lines))


def _loads(rows: list[PlannedEntry], ramp: FeedRamp) -> list[Load | None]:
    certified = ramp.certified_g_per_day
    if certified is None:
        return [None for _ in rows]
    planned = [
        Planned(on=row.planned_on, feed_g_per_day=float(row.feed_g_per_day), told=str(row.species))
        for row in rows
    ]
    present = ramp.present_g_per_day
    return list(
        loads(planned, ramp.rungs, present_g_per_day=present, certified_g_per_day=certified)
    )


def _is_in(row: PlannedEntry, water: Water) -> bool:
    return bool(row.lot and water.member_ids & held_by(row.lot, at=water.at).keys())


def _clock(row: PlannedEntry, water: Water) -> Clock | None:
    """The clock of the lot where it waits; the last of several tanks counts."""
    if row.lot is None:
        return None
    where = Vessel.objects.filter(pk__in=held_by(row.lot, at=water.at)).select_related("site")
    waiting = waiting_of(row.lot, list(where), at=water.at)
    still = [one for one in waiting if not one.stay.is_settled]
    return max((one.clock for one in still), key=_last, default=None)


def _last(clock: Clock) -> float:
    return clock.ends_at.timestamp() if clock.ends_at else float("inf")
