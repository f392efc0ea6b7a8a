"""The history that bears on the clocks of some vessels, gathered from the record."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from facility.models import Site
from quarantine.models import Lot, SpeciesSheet
from quarantine.queries.disturbances import disturbances_at
from quarantine.queries.entries import entries_into, freed_at, sphere, touches_at
from quarantine.queries.stay_rules import StayRules, stay_rules_at
from quarantine.rules.clocks import Flow
from quarantine.rules.histories import History
from quarantine.rules.stay_defaults import is_abroad
from quarantine.rules.stays import Asked, most, shortest
from tanks.models import Reading, Vessel
from tanks.queries.measures import measured
from tanks.queries.waters import openings
from tanks.rules.waters import Opening


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature:
    """The least that a reading says, °C."""

    vessel: UUID
    at: datetime
    low_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """What is known at ``at``: the lots by id, what each is asked to stay, and the history."""

    at: datetime
    rules: StayRules
    lots: Mapping[UUID, Lot]
    asked: Mapping[UUID, tuple[Asked, ...]]
    history: History

    def with_flow(self, flow: Flow, *, days: int) -> "Gathered":
        """The same with one more line in the book; a lot not known yet stays ``days``."""
        known = dict(self.history.days)
        if flow.to_lot is not None:
            known.setdefault(flow.to_lot, days)
        flows = (*self.history.flows, flow)
        return replace(self, history=replace(self.history, flows=flows, days=known))

    def with_opening(self, opening: Opening) -> "Gathered":
        """The same with one more valve opened."""
        history = replace(self.history, openings=(*self.history.openings, opening))
        return replace(self, history=history)


def gathered(
    site: Site, vessel_ids: Iterable[UUID], *, at: datetime, also: Collection[UUID] = ()
) -> Gathered:
    """Return all that can have reached these vessels; ``also`` are lots yet to come there."""
    rules = stay_rules_at(site, at=at)
    links, touches = openings(site), touches_at(site, at=at)
    about = sphere(site, vessel_ids, links, touches)
    flows = entries_into(about, at=at)
    lots = _lots({*also, *(flow.to_lot for flow in flows if flow.to_lot)})
    sheets = sheet_days([lot.species_id for lot in lots.values()], at=at)
    asked = {
        pk: tuple(days_asked(lot, rules, sheets.get(lot.species_id))) for pk, lot in lots.items()
    }
    history = History(
        flows=tuple(flows),
        openings=tuple(one for one in links if {one.vessel, one.system} & about),
        touches=tuple(one for one in touches if one.to_vessel in about),
        disturbances=tuple(disturbances_at(about, rules.policy, at=at)),
        freed=tuple(freed_at(about, at=at)),
        days={pk: most(each) for pk, each in asked.items()},
        codes=dict(Vessel.objects.filter(pk__in=about).values_list("pk", "code").order_by("pk")),
    )
    return Gathered(at=at, rules=rules, lots=lots, asked=asked, history=history)


def days_asked(lot: Lot, rules: StayRules, from_sheet: int | None) -> list[Asked]:
    """What policy and species ask of a lot, the most first."""
    origin = lot.consignment.origin_country if lot.consignment else ""
    return shortest(
        rules.rules,
        group=lot.species.group,
        water_kind=lot.species.water_kind,
        is_from_abroad=is_abroad(origin, lot.site.jurisdiction),
        sheet_days=from_sheet,
    )


def sheet_days(species_ids: Collection[UUID], *, at: datetime) -> dict[UUID, int]:
    """The shortest stay of each species by its sheet then, where the sheet says one."""
    rows = SpeciesSheet.objects.filter(species__in=species_ids, period__contains=at)
    known = rows.values_list("species", "shortest_stay_days").order_by("pk")
    return {species: days for species, days in known if days is not None}


def temperatures(
    vessel_ids: Collection[UUID], *, since: datetime, until: datetime
) -> list[Temperature]:
    """Every temperature logged in these vessels between two moments, in one query."""
    rows = Reading.objects.current().filter(
        vessel__in=vessel_ids,
        parameter="TEMPERATURE",
        happened_at__gte=since,
        happened_at__lte=until,
    )
    return [
        Temperature(vessel=row.vessel_id, at=row.happened_at, low_c=measured(row).low)
        for row in rows.select_related("method").order_by("happened_at", "pk")
    ]


def _lots(ids: Collection[UUID]) -> dict[UUID, Lot]:
    return Lot.objects.select_related("site", "species", "consignment", "supplier").in_bulk(
        list(ids)
    )
