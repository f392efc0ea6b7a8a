"""What the dose guard looks at: the dose as somebody is about to give it, and what is recorded."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Barrier:
    """One stop of the agent's data: kind and figures as in AgentStop, with its source."""

    kind: str
    figures: Mapping[str, Any]
    sentence: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Regime:
    """The agent's figures; ``low`` to ``high`` is the window of this course."""

    code: str
    name: str
    unit: str
    low: float | None = None
    high: float | None = None
    is_bath: bool = False
    takes_order: bool = False
    takes_second: bool = False
    takes_trial: bool = False
    stored_above_c: float | None = None
    devices_off: frozenset[str] = frozenset()
    barriers: tuple[Barrier, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drum:
    """A container; ``strength`` counts in the agent's unit per g or mL."""

    id: UUID
    name: str
    agent: str
    form: str
    strength: float
    unit: str
    expires_on: date | None
    coldest_c: float | None = None
    is_retired: bool = False
    is_tried: bool = False
    was_harmful: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """``amount`` of the drum, measured out to raise the level by ``rise``.

    ``seen_members`` and ``seen_litres`` are the water as the sheet showed it.
    """

    drum: Drum
    amount: float
    rise: float
    intent: str
    minutes: int | None
    seen_members: frozenset[UUID]
    seen_litres: float
    by: UUID
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Animals:
    """A lot in the water; ``spared`` maps agents its species' sheet forbids to the reason."""

    lot: str
    species: str
    group: str
    vessel: str
    spared: Mapping[str, str] = field(default_factory=dict)

    @property
    def genus(self) -> str:
        return self.species.partition(" ")[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """A dose of the same agent that went into this water before; ``at`` is when."""

    by: UUID
    by_name: str
    at: datetime
    told: str
    intent: str
    rise: float
    drum: UUID
    drum_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Second:
    """Somebody's own computation of a dose."""

    by: UUID
    by_name: str
    at: datetime
    drum: UUID
    rise: float
    litres: float
    amount: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    high: float
    minutes: int | None
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A parameter as it was last read; ``high`` is infinite over range."""

    low: float
    high: float
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What is recorded of the water at the moment of the dose.

    ``target`` is the course's; ``level_low`` to ``level_high`` is how much of the agent it holds
    already. ``informed_at`` is
    when something was last read or changed that a further dose can rest on.
    """

    members: frozenset[UUID]
    litres: float | None
    course_members: frozenset[UUID]
    today: date
    target: float
    codes: Mapping[UUID, str] = field(default_factory=dict)
    level_low: float = 0.0
    level_high: float = 0.0
    informed_at: datetime | None = None
    animals: tuple[Animals, ...] = ()
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    earlier: tuple[Earlier, ...] = ()
    seconds: tuple[Second, ...] = ()
    order: Ordered | None = None
    running: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """One reason the dose does not go in. What is final is put right, never set aside."""

    code: str
    sentence: str
    source: str = ""
    is_final: bool = False
