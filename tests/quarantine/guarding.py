"""A dose nothing speaks against, for tests to put one thing wrong at a time."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any, Final
from uuid import UUID

from quarantine.rules.agent_forms import FORMS, strength
from quarantine.rules.guard import stops
from quarantine.rules.guard_facts import (
    Animals,
    Asked,
    Condition,
    Drum,
    Earlier,
    Ground,
    Ordered,
    Regime,
    Second,
)
from quarantine.rules.regimes import shipped

AT: Final = datetime(2026, 5, 4, 12, tzinfo=UTC)
HOUR: Final = timedelta(hours=1)
TANK, SUMP = UUID(int=1), UUID(int=2)
ANA, MO = UUID(int=11), UUID(int=12)
BOTTLE, OTHER = UUID(int=21), UUID(int=22)


def regime_of(code: str, **changes: Any) -> Regime:
    """The shipped figures of an agent."""
    return replace(shipped(code), **changes)


def drum_of(agent: str, form: str, label: float, **changes: Any) -> Drum:
    kind = FORMS[form]
    made = Drum(
        id=BOTTLE,
        name=f"{kind.label} 1",
        agent=agent,
        form=form,
        strength=strength(kind, label),
        unit="g" if kind.is_solid else "mL",
        expires_on=date(2027, 1, 1),
        coldest_c=15.0,
        is_tried=True,
    )
    return replace(made, **changes)


def fish(species: str = "Amphiprion ocellaris", group: str = "FISH", **changes: Any) -> Animals:
    return Animals(lot="L-0001", species=species, group=group, vessel="Q-01", **changes)


def read(low: float, high: float | None = None, *, hours_ago: float = 2) -> Condition:
    return Condition(low=low, high=low if high is None else high, at=AT - hours_ago * HOUR)


def copper(**changes: Any) -> Asked:
    """0.18 mg/L in 400 L: 0.283 g of crystals (Cu 25.45 %)."""
    drum = changes.pop("drum", drum_of("COPPER_FREE", "CUSO4_5H2O", 100))
    made = Asked(
        drum=drum,
        amount=0.18 * 400 / drum.strength,
        rise=0.18,
        intent="START",
        minutes=None,
        seen_members=frozenset([TANK]),
        seen_litres=400.0,
        by=ANA,
        at=AT,
    )
    return replace(made, **changes)


def bath(agent: str, drum: Drum, *, level: float, litres: float = 400.0, **changes: Any) -> Asked:
    made = Asked(
        drum=drum,
        amount=level * litres / drum.strength,
        rise=level,
        intent="BATH",
        minutes=60,
        seen_members=frozenset([TANK]),
        seen_litres=litres,
        by=ANA,
        at=AT,
    )
    return replace(made, **changes)


def second_to(asked: Asked, **changes: Any) -> Second:
    made = Second(
        by=MO,
        by_name="Mo Tarrant",
        at=asked.at - HOUR / 2,
        drum=asked.drum.id,
        rise=asked.rise,
        litres=asked.seen_litres,
        amount=asked.amount,
    )
    return replace(made, **changes)


def ground_for(asked: Asked, **changes: Any) -> Ground:
    """Everything known and met for this dose."""
    made = Ground(
        members=frozenset([TANK]),
        litres=asked.seen_litres,
        course_members=frozenset([TANK]),
        codes={TANK: "Q-01", SUMP: "S-1"},
        today=asked.at.date(),
        target=0.18 if asked.drum.agent.startswith("COPPER") else asked.rise,
        animals=(fish(),),
        conditions={
            "TEMPERATURE": read(24.0),
            "OXYGEN": read(6.6),
            "ALKALINITY": read(2.4),
            "SALINITY": read(34.0),
        },
        seconds=(second_to(asked),),
        order=Ordered(high=1e4, minutes=None, until=asked.at + 240 * HOUR),
    )
    return replace(made, **changes)


def earlier(asked: Asked, **changes: Any) -> Earlier:
    made = Earlier(
        by=asked.by,
        by_name="Ana Quill",
        at=asked.at - 30 * HOUR,
        told="Ana Quill put 0.283 g in",
        intent=asked.intent,
        rise=asked.rise,
        drum=asked.drum.id,
        drum_name=asked.drum.name,
    )
    return replace(made, **changes)


def codes(asked: Asked, ground: Ground | None = None, regime: Regime | None = None) -> set[str]:
    known = ground or ground_for(asked)
    return {one.code for one in stops(asked, known, regime or regime_of(asked.drum.agent))}
