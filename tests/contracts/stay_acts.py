"""Examples of holds, moves, releases, plans and the rules of stays, at ``AT``."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

from quarantine.commands.holds import LiftHold, PlaceHold
from quarantine.commands.life_cycles import CyclePoint, SetLifeCycle
from quarantine.commands.moves import MoveAnimals
from quarantine.commands.plans import DropPlannedEntry, PlanEntry, plan_entry
from quarantine.commands.releases import ReleaseLot
from quarantine.commands.stay_rules import (
    AdoptStayRules,
    SetStayPolicy,
    SetStayRule,
    adopt_stay_rules,
)
from tests.cast import House
from tests.quarantine.dying import arrived
from tests.quarantine.ready import AT, ready
from tests.quarantine.staying import (
    held,
    hold_of,
    lift_of,
    move_of,
    ready_to_leave,
    release_of,
    tank_behind,
)


def to_place_hold(house: House) -> PlaceHold:
    return hold_of(lot=arrived(house, tank_behind(house, "Q-1")), happened_at=AT)


def to_lift_hold(house: House) -> LiftHold:
    return lift_of(held(house, vessel=tank_behind(house, "Q-1")), at=AT)


def to_move_animals(house: House) -> MoveAnimals:
    source, target = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    return move_of(arrived(house, source), source, target, at=AT, acclimation="Drip, 40 min")


def to_release_lot(house: House) -> ReleaseLot:
    told, tank = ready(house), tank_behind(house, "Q-1")
    return release_of(ready_to_leave(house, tank, at=AT), tank, told.vessel)


def to_plan_entry(house: House) -> PlanEntry:
    tank = tank_behind(house, "Q-1")
    return PlanEntry(
        id=uuid4(),
        vessel_id=tank.pk,
        lot_id=arrived(house, tank).pk,
        count=6,
        planned_on=(AT + timedelta(days=30)).date(),
        feed_g_per_day=Decimal("1.5"),
    )


def to_drop_planned_entry(house: House) -> DropPlannedEntry:
    planned = plan_entry(to_plan_entry(house), by=house.mo, at=AT)
    return DropPlannedEntry(id=uuid4(), planned_id=planned.pk, reason="The supplier has none")


def to_adopt_stay_rules(house: House) -> AdoptStayRules:
    return AdoptStayRules(id=uuid4(), site_id=house.site.pk)


def to_set_stay_rule(house: House) -> SetStayRule:
    adopt_stay_rules(to_adopt_stay_rules(house), by=house.mo, at=AT)
    return SetStayRule(
        id=uuid4(),
        site_id=house.site.pk,
        purpose="QUARANTINE",
        group="FISH",
        water_kind="",
        jurisdiction="",
        days=35,
        source="The house's veterinarian",
    )


def to_set_life_cycle(house: House) -> SetLifeCycle:
    adopt_stay_rules(to_adopt_stay_rules(house), by=house.mo, at=AT)
    return SetLifeCycle(
        id=uuid4(),
        site_id=house.site.pk,
        agent="Ichthyophthirius multifiliis",
        water_kind="FRESH",
        points=(
            CyclePoint(temperature_c=Decimal(15), days=Decimal(14)),
            CyclePoint(temperature_c=Decimal(24), days=Decimal(4)),
        ),
        cycles=2,
        source="The house's veterinarian",
    )


def to_set_stay_policy(house: House) -> SetStayPolicy:
    adopt_stay_rules(to_adopt_stay_rules(house), by=house.mo, at=AT)
    return SetStayPolicy(
        id=uuid4(),
        site_id=house.site.pk,
        on_treatment="RESET",
        on_death="RESET",
        on_pathogen="RESET",
        quiet_days=10,
        clear_days=2,
        feeding_looks=3,
        look_hours=24,
        first_feed_percent=20,
        clean_days=4,
        source="The house's veterinarian",
    )
