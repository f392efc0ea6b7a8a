"""Looks at the animals, deaths, what they were made of, and when they call."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, MANAGERS, Deed, deeds
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.telling import Teller, tellers
from facility.sockets.work import TaskSource, task_sources
from quarantine.commands.deaths import LogDeath, WithdrawDeath, log_death, withdraw_death
from quarantine.commands.findings import LogFinding, log_finding
from quarantine.commands.health_rules import (
    AdoptHealthRules,
    SetHealthRule,
    adopt_health_rules,
    set_health_rule,
)
from quarantine.commands.necropsies import LogNecropsy, SetCarcass, log_necropsy, set_carcass
from quarantine.commands.observations import LogObservation, log_observation
from quarantine.queries.carcasses import carcass_duties
from quarantine.queries.deaths_remarked import death_remarks
from quarantine.queries.deaths_seen import death_signs
from quarantine.queries.health_told import health_told
from quarantine.queries.releases import tanks_apart
from quarantine.rules.look_duty import LOOK
from tanks.jobs import keep_watch
from tanks.sockets.default_duties import DutySource, duty_sources
from tanks.sockets.remarks import RemarkSource, remark_sources
from tanks.sockets.signs import SignSource, sign_sources
from tanks.sockets.ways import TankAct, Way, tank_acts, ways


def _plug(
    command: type,
    give: Callable[..., Any],
    says: str,
    *,
    roles: frozenset[str] = KEEPERS,
    is_hands_on: bool = False,
) -> None:
    name = f"quarantine.{give.__name__.replace('_', '-')}"
    deeds.plug(
        Deed(name=name, command=command, give=give, roles=roles, says=says, is_hands_on=is_hands_on)
    )


_plug(LogObservation, log_observation, "looked at the animals of a tank", is_hands_on=True)
_plug(LogDeath, log_death, "recorded deaths", is_hands_on=True)
_plug(WithdrawDeath, withdraw_death, "took back a death entered wrongly")
_plug(LogNecropsy, log_necropsy, "opened a carcass", is_hands_on=True)
_plug(SetCarcass, set_carcass, "said where a carcass went")
_plug(LogFinding, log_finding, "kept what a test found")
_plug(AdoptHealthRules, adopt_health_rules, "adopted the rules about deaths", roles=MANAGERS)
_plug(SetHealthRule, set_health_rule, "set a rule about deaths", roles=MANAGERS)

sign_sources.plug(SignSource(name="quarantine.deaths", signs=death_signs))
_WATCHED: Final = frozenset(
    f"quarantine.{verb}"
    for verb in (
        "log-observation",
        "log-death",
        "withdraw-death",
        "log-necropsy",
        "adopt-health-rules",
        "set-health-rule",
    )
)
aftermaths.plug(Aftermath("quarantine.watch-deaths", _WATCHED, keep_watch))
_ACTS: Final = frozenset({"quarantine.log-observation", "quarantine.log-necropsy"})
aftermaths.plug(Aftermath("quarantine.answer-looks", _ACTS, follow))


def _look(vessel_id: UUID) -> str:
    return reverse("quarantine:log-observation", args=[vessel_id])


def _deaths(vessel_id: UUID) -> str:
    return reverse("quarantine:log-death", args=[vessel_id])


def _looks(vessel_id: UUID) -> str:
    return reverse("quarantine:tank-looks", args=[vessel_id])


def _test(vessel_id: UUID) -> str:
    return reverse("quarantine:log-finding", args=[vessel_id])


tank_acts.plug(
    TankAct(
        name="quarantine.look",
        label="Look",
        url=_look,
        deed="quarantine.log-observation",
        is_daily=True,
        waits=True,
    )
)
tank_acts.plug(
    TankAct(
        name="quarantine.deaths",
        label="Deaths",
        url=_deaths,
        deed="quarantine.log-death",
        is_daily=True,
        waits=True,
    )
)
tank_acts.plug(
    TankAct(name="quarantine.test", label="Test animals", url=_test, deed="quarantine.log-finding")
)
ways.plug(Way("quarantine.looks", "Looks and deaths", _looks))
tellers.plug(Teller(name="quarantine.health", tell=health_told))
remark_sources.plug(RemarkSource(name="quarantine.deaths", of_water=death_remarks))
task_sources.plug(TaskSource("quarantine.carcasses", carcass_duties))
duty_sources.plug(DutySource(name="quarantine.looks", duty=LOOK, subjects=tanks_apart))
menu.plug(
    MenuEntry(
        name="quarantine.looks",
        label="Looks and deaths",
        url_name="quarantine:looks",
        order=29,
        group=Group.ANIMALS,
    )
)
