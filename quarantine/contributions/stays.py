"""How long animals stay, holds, releases, moves and the stocking plan."""

from typing import Any, Final
from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, MANAGER, MANAGERS, SIGNERS, VETERINARIAN, Deed, deeds
from facility.sockets.follow_ups import follow_ups
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.stop_list import StopSource, stop_sources
from quarantine.commands.holds import LiftHold, PlaceHold, lift_hold, place_hold
from quarantine.commands.life_cycles import SetLifeCycle, set_life_cycle
from quarantine.commands.moves import MoveAnimals, move_animals
from quarantine.commands.plans import DropPlannedEntry, PlanEntry, drop_planned_entry, plan_entry
from quarantine.commands.releases import ReleaseLot, release_lot
from quarantine.commands.stay_rules import (
    AdoptStayRules,
    SetStayPolicy,
    SetStayRule,
    adopt_stay_rules,
    set_stay_policy,
    set_stay_rule,
)
from quarantine.queries.clocks import told_if_opened
from quarantine.queries.holds import remarks_at_site, remarks_on_water, stops
from quarantine.rules.move_follow_ups import MOVE_FOLLOW_UPS
from tanks.sockets.remarks import RemarkSource, remark_sources
from tanks.sockets.turning import TurnSource, turn_sources
from tanks.sockets.ways import TankAct, Way, tank_acts, ways

_DECIDERS: Final = frozenset({MANAGER, VETERINARIAN})


def _plug(command: type, give: Any, says: str, roles: frozenset[str], **more: bool) -> None:
    name = f"quarantine.{give.__name__.replace('_', '-')}"
    deeds.plug(Deed(name=name, command=command, give=give, roles=roles, says=says, **more))


_plug(PlaceHold, place_hold, "put on hold", SIGNERS)
_plug(LiftHold, lift_hold, "lifted a hold", _DECIDERS)
_plug(ReleaseLot, release_lot, "released animals", _DECIDERS, is_signature=True)
_plug(MoveAnimals, move_animals, "moved animals", KEEPERS, is_hands_on=True)
_plug(PlanEntry, plan_entry, "planned an entry of animals", SIGNERS)
_plug(DropPlannedEntry, drop_planned_entry, "took an entry off the plan", SIGNERS)
_plug(AdoptStayRules, adopt_stay_rules, "adopted the rules of stays", MANAGERS)
_plug(SetStayRule, set_stay_rule, "set how long animals stay", _DECIDERS)
_plug(SetLifeCycle, set_life_cycle, "set a parasite's life cycle", _DECIDERS)
_plug(SetStayPolicy, set_stay_policy, "set what bears on a stay", _DECIDERS)
turn_sources.plug(TurnSource(name="quarantine.stays", if_opened=told_if_opened))
stop_sources.plug(StopSource(name="quarantine.holds", stops=stops))
remark_sources.plug(
    RemarkSource(name="quarantine.holds", of_water=remarks_on_water, today=remarks_at_site)
)


def _stay(vessel_id: UUID) -> str:
    return reverse("quarantine:stay", args=[vessel_id])


def _plan(vessel_id: UUID) -> str:
    return reverse("quarantine:stocking-plan", args=[vessel_id])


def _move(vessel_id: UUID) -> str:
    return reverse("quarantine:move-animals", kwargs={"vessel_id": vessel_id})


def _hold(vessel_id: UUID) -> str:
    return reverse("quarantine:place-hold", kwargs={"vessel_id": vessel_id})


tank_acts.plug(
    TankAct(
        name="quarantine.move",
        label="Move animals",
        url=_move,
        deed="quarantine.move-animals",
    )
)
tank_acts.plug(
    TankAct(name="quarantine.hold", label="Hold", url=_hold, deed="quarantine.place-hold")
)
ways.plug(Way("quarantine.stay", "Animals and their stay", _stay))
ways.plug(Way("quarantine.plan", "Stocking plan", _plan))
menu.plug(
    MenuEntry(
        name="quarantine.stays",
        label="Quarantine",
        url_name="quarantine:stays",
        order=29,
        group=Group.ANIMALS,
    )
)
for each in MOVE_FOLLOW_UPS:
    follow_ups.plug(each)
_ACTS: Final = frozenset({"quarantine.move-animals", "quarantine.release-lot"})
aftermaths.plug(Aftermath("quarantine.answer-tasks-of-stays", _ACTS, follow))
