"""What the gate asks about a water, gathered from the record."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

from chemistry.domain import OutOfRange
from facility.models import Person, Site
from quarantine.models import Stocking
from quarantine.queries.books import lots_in
from quarantine.queries.limits import edges_with_animals
from quarantine.queries.links import cycle_page, reading_page
from quarantine.queries.proof import certified_in, conditions_in, incidents_in, trial_in
from quarantine.rules import gate
from quarantine.rules.known import Known, Ramp, StartUp
from tanks.models import Cycle, Dose, Product, Reading, Vessel
from tanks.queries.cycles import Course, course, open_cycles
from tanks.queries.measures import measured
from tanks.queries.policies import chlorine_limit_mg_l, policy_at, terms_of
from tanks.queries.preparations import appliances_on
from tanks.queries.readings import latest_in
from tanks.queries.stories import Story, standing
from tanks.queries.waters import Water, water_of
from tanks.rules.measured import Measured
from tanks.rules.requirements import Requirement
from tanks.rules.values import Interval, oxygen_in

_SALTED: Final = Dose.Purpose.SALINITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """The answer at ``at``; ``cycle`` is the one start-up of the water, if there is one."""

    water: Water
    at: datetime
    known: Known
    cycle: Cycle | None
    requirements: list[Requirement]

    @property
    def opens(self) -> bool:
        return gate.opens(self.requirements)

    @property
    def answer(self) -> str:
        return gate.answer(self.requirements)


def gate_of(vessel: Vessel, *, at: datetime) -> Gate:
    """Judge the water that holds ``vessel`` at that moment."""
    water = water_of(vessel, at=at)
    running = open_cycles(vessel.site, at=at).filter(vessel__in=water.member_ids)
    cycles = [] if (stocked := _stocked(water)) else list(running)
    known = _known(water, cycles, stocked, at)
    return Gate(
        water=water,
        at=at,
        known=known,
        cycle=cycles[0] if len(cycles) == 1 else None,
        requirements=gate.requirements(known, at),
    )


def gates_open_to(person: Person, *, at: datetime) -> list[Gate]:
    """Judge every water in start-up at the person's sites, oldest start-up first."""
    return [
        gate_of(cycle.vessel, at=at)
        for site in Site.objects.open_to(person).order_by("name", "pk")
        for cycle in open_cycles(site, at=at)
    ]


def _known(water: Water, cycles: list[Cycle], stocked: str, at: datetime) -> Known:
    known = _bare(water, stocked, at)
    if not cycles:
        return known
    if len(cycles) > 1:
        return replace(known, start_ups=tuple(_start_up(one, salted=True) for one in cycles))
    return _full(known, course(cycles[0], at=at), at)


def _bare(water: Water, stocked: str, at: datetime) -> Known:
    """What can be told of any water, start-up or not."""
    rows = latest_in(water)
    policy = policy_at(water.anchor.site, at=at)
    return Known(
        zone=water.anchor.site.zone,
        terms=terms_of(policy) if policy else None,
        members={vessel.pk: vessel.code for vessel in water.members},
        litres=water.litres,
        unmeasured=tuple(vessel.code for vessel in water.unmeasured),
        start_ups=(),
        stocked=stocked,
        certified=None,
        trial=None,
        proven_in=None,
        fed_at=None,
        latest=_measures(rows),
        edges={},
        chlorine_limit_mg_l=None,
        treated_at=None,
        ramps=(),
        appliances=tuple(appliances_on(water.member_ids, at=at)),
        incidents=(),
        urls={row.pk: reading_page(row) for row in rows.values()},
    )


def _full(known: Known, told: Course, at: datetime) -> Known:
    cycle, story = told.cycle, told.story
    site = cycle.vessel.site
    return replace(
        known,
        terms=told.terms,
        start_ups=(_start_up(cycle, salted=_is_salted(story)),),
        certified=certified_in(told),
        trial=trial_in(told),
        proven_in=conditions_in(told),
        fed_at=told.fed_at,
        edges=edges_with_animals(site, cycle, at=at),
        chlorine_limit_mg_l=chlorine_limit_mg_l(site, water_kind=cycle.water_kind, at=at),
        treated_at=_treated_at(story),
        ramps=_ramps(story),
        incidents=incidents_in(told),
    )


def _start_up(cycle: Cycle, *, salted: bool) -> StartUp:
    return StartUp(
        started_at=cycle.started_at,
        water_kind=cycle.water_kind,
        declared_feed_g_per_day=float(cycle.declared_feed_g_per_day),
        protein_share=float(cycle.protein_share),
        cycling_temperature_c=float(cycle.cycling_temperature_c),
        cycling_salinity_g_kg=float(cycle.cycling_salinity_g_kg),
        stocking_temperature_c=float(cycle.stocking_temperature_c),
        stocking_salinity_g_kg=float(cycle.stocking_salinity_g_kg),
        is_salted=salted,
        url=cycle_page(cycle),
    )


def _is_salted(story: Story) -> bool:
    doses = standing(story.doses)
    return any(
        dose.purpose == _SALTED or dose.product.substance == Product.Substance.SEA_SALT
        for dose in doses
    )


def _treated_at(story: Story) -> datetime | None:
    moments = [row.happened_at for row in standing(story.water_changes)]
    moments += [
        row.happened_at for row in standing(story.doses) if row.purpose == Dose.Purpose.DECHLORINATE
    ]
    return max(moments, default=None)


def _ramps(story: Story) -> tuple[Ramp, ...]:
    """The latest plan of each kind counts."""
    latest = {row.of: row for row in standing(story.ramps)}
    return tuple(
        Ramp(
            of=row.of,
            end=float(row.end),
            planned_at=row.happened_at,
            last_step_on=row.starts_on + timedelta(days=max(len(row.steps), 1) - 1),
        )
        for row in latest.values()
    )


def _stocked(water: Water) -> str:
    """Say that animals are in, or nothing: stocked waters are no longer a start-up's."""
    entered = Stocking.objects.current().filter(
        admission__vessel__in=water.member_ids, happened_at__lte=water.at
    )
    first = entered.order_by("happened_at", "pk").first()
    if first is None:
        return _held(water)
    day = first.happened_at.astimezone(water.anchor.site.zone)
    return f"Animals have been in this water since {day:%d %b %Y}; this gate is for the first."


def _held(water: Water) -> str:
    """Lots may have come into a water that nobody opened the gate for, such as quarantine."""
    codes = list(dict.fromkeys(one.lot.code for one in lots_in(water.member_ids, at=water.at)))
    if not codes:
        return ""
    return f"{', '.join(codes)} in this water by the book; this gate is for the first animals."


def _measures(rows: Mapping[str, Reading]) -> dict[str, Measured]:
    found = {name: measured(row) for name, row in rows.items()}
    if "OXYGEN" in rows and rows["OXYGEN"].unit == "%":
        found["OXYGEN"] = _oxygen_mg_l(rows["OXYGEN"], found)
    return found


def _oxygen_mg_l(reading: Reading, found: Mapping[str, Measured]) -> Measured:
    """Per cent of saturation as mg/L, where temperature and salinity are known well enough."""
    wide = found["OXYGEN"]
    temperature, salinity = found.get("TEMPERATURE"), found.get("SALINITY")
    if temperature is None or temperature.high is None:
        return wide
    upper = reading.value if reading.upper is None else reading.upper
    is_above, is_below = reading.qualifier == "ABOVE", reading.qualifier == "BELOW"
    share = Interval(0.0 if is_below else float(reading.value), None if is_above else float(upper))
    # The warmer and saltier, the less oxygen the same share is.
    salt_g_kg = salinity.high if salinity and salinity.high is not None else 0.0
    try:
        edges = oxygen_in(share, temperature_c=temperature.high, salinity_g_kg=salt_g_kg)
    except OutOfRange:
        return wide
    return replace(wide, low=edges.low, high=edges.high)
