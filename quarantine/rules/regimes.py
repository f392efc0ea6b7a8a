"""An agent's shipped figures as the guard reads them."""

from quarantine.rules.agent_defaults import AGENTS
from quarantine.rules.agent_values import AgentValues
from quarantine.rules.guard_facts import Barrier, Regime

BY_CODE = {agent.code: agent for agent in AGENTS}


def shipped(code: str) -> Regime:
    """Return the regime of an agent as it is shipped.

    Raises:
        KeyError: no such agent is shipped.
    """
    agent = BY_CODE[code]
    figures = agent.figures
    return Regime(
        code=agent.code,
        name=agent.name,
        unit=agent.unit,
        low=_number(agent, "low"),
        high=_number(agent, "high"),
        is_bath=figures.get("is_bath", False),
        takes_order=figures.get("takes_order", True),
        takes_second=figures.get("takes_second", False),
        takes_trial=figures.get("takes_trial", False),
        stored_above_c=_number(agent, "stored_above_c"),
        devices_off=frozenset(figures.get("devices_off", ())),
        barriers=tuple(
            Barrier(
                kind=one.kind,
                figures=one.figures,
                sentence=one.sentence,
                source=one.origin.source,
            )
            for one in agent.stops
        ),
    )


def _number(agent: AgentValues, name: str) -> float | None:
    return float(agent.figures[name]) if name in agent.figures else None
