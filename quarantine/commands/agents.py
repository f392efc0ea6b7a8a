"""Adopt the shipped agents; set an agent's figures anew."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID, uuid5

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person, Site
from facility.refusals import NotFound, Refusal
from quarantine.models import Agent, AgentStop
from quarantine.queries.agents import missing_agents
from quarantine.rules.agent_values import AgentValues
from tanks.commands.finding import site_for


class SourceMissing(Refusal):
    code = "source-missing"
    field = "source"


class WindowUnsound(Refusal):
    code = "window-unsound"
    field = "high"


class ClockUnsound(Refusal):
    code = "clock-unsound"
    field = "readings_in_row"


class UnknownPolicy(Refusal):
    code = "unknown-policy"
    field = "out_of_window"


class AgentEnded(Refusal):
    code = "agent-ended"
    field = "agent_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdoptAgents:
    """``id`` names the act; the agents' own ids follow from it."""

    id: UUID
    site_id: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAgent:
    """``agent_id`` ends now and ``id`` takes its place; its stops and forms go on as they are.

    Courses already opened keep the figures they were opened under.
    """

    id: UUID
    agent_id: UUID
    low: Decimal | None
    high: Decimal | None
    clock_days: Decimal | None
    readings_in_row: int
    out_of_window: str
    longest_gap_h: Decimal
    clear_below: Decimal | None
    takes_order: bool
    takes_second: bool
    takes_trial: bool
    source: str


@transaction.atomic(durable=True)
def adopt_agents(command: AdoptAgents, *, by: Person, at: datetime) -> list[Agent]:
    """Set from now on what the site never had; given again, it returns what it set.

    Raises:
        NotFound, NotAllowed
    """
    site = site_for(by, command.site_id, deed="quarantine.adopt-agents")
    wanted = missing_agents(site)
    if not wanted:
        return []
    agents = [_agent(one, command.id, site, at) for one in wanted]
    Agent.objects.bulk_create(agents)
    stops = [stop for one in wanted for stop in _stops(one, command.id)]
    AgentStop.objects.bulk_create(stops)
    ledger.record(
        "quarantine.adopt-agents",
        [*agents, *stops],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return agents


@transaction.atomic(durable=True)
def set_agent(command: SetAgent, *, by: Person, at: datetime) -> Agent:
    """Let an agent go on with other figures from now on.

    Raises:
        NotFound, NotAllowed, IdTaken, AgentEnded, SourceMissing, WindowUnsound, ClockUnsound,
        UnknownPolicy
    """
    old = Agent.objects.filter(pk=command.agent_id).first()
    if old is None:
        raise NotFound("There is no such agent here.")
    site = site_for(by, old.site_id, deed="quarantine.set-agent")
    old.refresh_from_db()
    figures = _figures(command)
    if agent := earlier(Agent, command.id, figures):
        return agent
    _require_sound(command, old, at=at)
    old.period = DateTimeTZRange(old.period.lower, at)
    old.save(update_fields=["period"])
    agent, stops = _followers(command, old, figures, at)
    ledger.record(
        "quarantine.set-agent",
        [agent, *stops, old],
        about=site,
        site=site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return agent


_STEPS: Final = {
    "low": Decimal("0.0001"),
    "high": Decimal("0.0001"),
    "clear_below": Decimal("0.0001"),
    "clock_days": Decimal("0.1"),
    "longest_gap_h": Decimal("0.1"),
}
_KEPT: Final = (
    "site_id",
    "code",
    "name",
    "counted_as",
    "unit",
    "forms",
    "half_life_h",
    "is_read",
    "is_bath",
    "stored_above_c",
    "devices_off",
    "cards",
    "regime",
)


def _agent(values: AgentValues, adoption: UUID, site: Site, at: datetime) -> Agent:
    return Agent(
        id=_id(values, adoption),
        site=site,
        code=values.code,
        name=values.name,
        counted_as=values.counted_as,
        unit=values.unit,
        forms=[form.code for form in values.forms],
        cards=list(values.cards),
        regime=values.regime,
        period=DateTimeTZRange(at, None),
        **asdict(values.origin),
        **values.figures,
    )


def _stops(values: AgentValues, adoption: UUID) -> Iterable[AgentStop]:
    for number, stop in enumerate(values.stops):
        yield AgentStop(
            id=uuid5(adoption, f"stop:{values.code}:{number}"),
            agent_id=_id(values, adoption),
            kind=stop.kind,
            figures=stop.figures,
            sentence=stop.sentence,
            **asdict(stop.origin),
        )


def _id(values: AgentValues, adoption: UUID) -> UUID:
    return uuid5(adoption, f"agent:{values.code}")


def _figures(command: SetAgent) -> dict[str, Any]:
    """Numbers as their columns hold them, so that a second delivery says the same."""
    figures = asdict(command)
    del figures["id"], figures["agent_id"]
    for name, step in _STEPS.items():
        if figures[name] is not None:
            figures[name] = figures[name].quantize(step)
    figures["source"] = command.source.strip()
    return figures


def _require_sound(command: SetAgent, old: Agent, *, at: datetime) -> None:
    if old.period.upper is not None and old.period.upper <= at:
        raise AgentEnded(f"{old.name} was set anew before; open the page again.")
    if not command.source.strip():
        raise SourceMissing("Say where these figures come from, or that it is common practice.")
    if command.out_of_window not in Agent.OutOfWindow.values:
        raise UnknownPolicy("Choose whether the clock stands still or starts anew.")
    if command.readings_in_row < 1 or command.longest_gap_h <= 0:
        raise ClockUnsound("Ask for one reading or more, and give a gap above 0 h.")
    low, high = command.low, command.high
    if (low is None) != (high is None) or (low is not None and high is not None and low > high):
        raise WindowUnsound("Give both ends of the window, the lower one first, or neither.")


def _followers(
    command: SetAgent, old: Agent, figures: dict[str, Any], at: datetime
) -> tuple[Agent, list[AgentStop]]:
    kept = {name: getattr(old, name) for name in _KEPT}
    agent = Agent.objects.create(
        id=command.id,
        period=DateTimeTZRange(at, None),
        jurisdiction=old.jurisdiction,
        **kept,
        **figures,
    )
    stops = [_copied(stop, agent) for stop in old.stops.order_by("kind", "pk")]
    return agent, AgentStop.objects.bulk_create(stops)


def _copied(stop: AgentStop, agent: Agent) -> AgentStop:
    names = ("kind", "figures", "sentence", "source", "edition", "jurisdiction")
    told = {name: getattr(stop, name) for name in (*names, "verified_on", "verified_by")}
    return AgentStop(id=uuid5(agent.pk, str(stop.pk)), agent=agent, **told)
