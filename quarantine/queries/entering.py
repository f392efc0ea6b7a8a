"""What is known of the water that animals are to enter, gathered for the rule."""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from quarantine.models import Lot, PlannedEntry, SpeciesSheet
from quarantine.queries.books import held_by
from quarantine.queries.clocks import waiting_in
from quarantine.queries.holds import holds_in
from quarantine.queries.leaving import held
from quarantine.queries.ramps import FeedRamp, feed_ramp
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.entry import STEPS, Entering, Range
from tanks.models import Vessel
from tanks.queries.acts import latest_cycle_in
from tanks.queries.measures import measured
from tanks.queries.policies import policy_at
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water, water_of
from tanks.rules.measured import Measured

_FRESH_WITHOUT_POLICY = timedelta(hours=24)
_RANGES = {
    "TEMPERATURE": ("temperature_low_c", "temperature_high_c"),
    "SALINITY": ("salinity_low_g_kg", "salinity_high_g_kg"),
    "PH": ("ph_low", "ph_high"),
}


def entering(
    lot: Lot, source: Vessel, destination: Vessel, *, feed_g_per_day: float, at: datetime
) -> Entering:
    """Gather everything an entry of this lot into the destination's water asks about."""
    here, there = water_of(source, at=at), water_of(destination, at=at)
    sheet = _sheet(lot, at)
    ramp = feed_ramp(there, stay_rules_at(lot.site, at=at).policy)
    runs_since = _runs_since(there)
    months = sheet.months_run if sheet else None
    return Entering(
        zone=lot.site.zone,
        name=there.name,
        is_same_water=source.pk in there.member_ids,
        holds=tuple(map(held, holds_in(there.member_ids, at=at))),
        proof=_proof(ramp),
        is_proven=ramp.certified is not None and ramp.certified.is_in_force,
        certified_g_per_day=ramp.certified_g_per_day,
        present_g_per_day=ramp.present_g_per_day,
        more_g_per_day=feed_g_per_day,
        percent_allowed=ramp.percent_now,
        rank_here=source.area.hygiene_rank,
        rank_there=destination.area.hygiene_rank,
        quarantined=tuple(_quarantined(there)),
        here=_fresh(here),
        there=_fresh(there),
        ranges=_ranges(sheet),
        before=tuple(_before(lot, sheet, there)),
        after=tuple(_after(sheet, there)),
        runs_since=runs_since,
        may_enter_on=_months_later(runs_since, months, lot) if runs_since and months else None,
        months_run=months,
    )


def _sheet(lot: Lot, at: datetime) -> SpeciesSheet | None:
    rows = SpeciesSheet.objects.filter(species=lot.species_id, period__contains=at)
    return rows.order_by("pk").first()


def _proof(ramp: FeedRamp) -> str:
    if ramp.certified is None:
        return "No certified feed has been signed for this water."
    return ramp.certified.standing.sentence


def _quarantined(water: Water) -> Iterator[str]:
    """Lots there whose own wait is not signed off."""
    for one in waiting_in(water):
        if not one.stay.is_settled:
            yield f"{one.lot.code} in {one.vessel.code}"


def _fresh(water: Water) -> dict[str, Measured]:
    policy = policy_at(water.anchor.site, at=water.at)
    hours = timedelta(hours=float(policy.reading_fresh_hours)) if policy else _FRESH_WITHOUT_POLICY
    rows = latest_in(water)
    return {
        name: measured(rows[name])
        for name, *_ in STEPS
        if name in rows and water.at - rows[name].happened_at <= hours
    }


def _ranges(sheet: SpeciesSheet | None) -> dict[str, Range]:
    if sheet is None:
        return {}
    return {
        name: Range(low=_number(getattr(sheet, low)), high=_number(getattr(sheet, high)))
        for name, (low, high) in _RANGES.items()
    }


def _number(value: object) -> float | None:
    return None if value is None else float(str(value))


def _before(lot: Lot, sheet: SpeciesSheet | None, water: Water) -> Iterator[str]:
    """Planned entries of species that come first in order and are not in yet."""
    own = sheet.stocking_order if sheet else None
    if own is None:
        return
    orders = _orders(water.at)
    rows = PlannedEntry.objects.current().filter(vessel__in=water.member_ids)
    for row in rows.exclude(lot=lot).select_related("lot", "species").order_by("planned_on", "pk"):
        first = orders.get(row.species_id)
        if first is not None and first < own and not _is_in(row, water):
            yield row.lot.code if row.lot else row.species.scientific_name


def _after(sheet: SpeciesSheet | None, water: Water) -> Iterator[str]:
    own = sheet.stocking_order if sheet else None
    orders = _orders(water.at) if own is not None else {}
    for one in waiting_in(water):
        order = orders.get(one.lot.species_id)
        if own is not None and order is not None and order > own:
            yield one.lot.code


def _orders(at: datetime) -> dict[object, int]:
    rows = SpeciesSheet.objects.filter(period__contains=at).exclude(stocking_order=None)
    known = rows.values_list("species", "stocking_order").order_by("pk")
    return {species: order for species, order in known if order is not None}


def _is_in(row: PlannedEntry, water: Water) -> bool:
    held_there = held_by(row.lot, at=water.at) if row.lot else {}
    return bool(water.member_ids & held_there.keys())


def _runs_since(water: Water) -> datetime | None:
    """Since its latest start-up began; a water never started up has not been seen running."""
    cycle = latest_cycle_in(water)
    return cycle.started_at if cycle else None


def _months_later(since: datetime, months: int, lot: Lot) -> date:
    """The same day some months on, or the month's last."""
    day = since.astimezone(lot.site.zone).date()
    month = day.month - 1 + months
    year, month = day.year + month // 12, month % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))
