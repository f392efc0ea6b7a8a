"""What is known of a water before animals may enter it, gathered for the rule. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from typing import Literal, TypeAlias
from uuid import UUID

from tanks.rules.certificates import Standing
from tanks.rules.measured import Measured
from tanks.rules.preparation import Appliance
from tanks.rules.terms import Terms

Outcome: TypeAlias = Literal["passed", "failed", "running"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """The latest challenge: ``told`` says what became of it, or when its end is due."""

    outcome: Outcome
    dosed_at: datetime
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Certified:
    """The latest certificate. ``standing_passes`` of ``passes`` hold, judged again today."""

    signed_at: datetime
    signed_by: str
    signer: UUID
    readers: frozenset[UUID]
    feed_g_per_day: float
    protein_share: float
    members: Mapping[UUID, str]
    litres: float
    standing: Standing
    passes: int
    standing_passes: int
    corrections_since: int
    why_undone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What the latest passed challenge was read in; None where that was not read."""

    temperature: Measured | None
    salinity: Measured | None


@dataclass(frozen=True, slots=True, kw_only=True)
class StartUp:
    """The start-up of the biofilter as it was declared; ``url`` is its page."""

    started_at: datetime
    water_kind: str
    declared_feed_g_per_day: float
    protein_share: float
    cycling_temperature_c: float
    cycling_salinity_g_kg: float
    stocking_temperature_c: float
    stocking_salinity_g_kg: float
    is_salted: bool
    url: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ramp:
    """A planned way to a stocking value, ``of`` salinity or temperature."""

    of: str
    end: float
    planned_at: datetime
    last_step_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """An incident; ``is_outlived`` when a challenge begun after it has passed.

    ``has_ended`` when its length is on record and it leaves nothing behind.
    """

    at: datetime
    told: str
    has_ended: bool
    is_outlived: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Where a parameter must lie, canonical units; ``told`` names it, ``sources`` back it."""

    low: float | None
    high: float | None
    told: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Everything the gate asks about one water.

    ``latest`` holds the latest reading of each parameter, oxygen in mg/L. ``edges`` are the
    site's limits with animals. ``treated_at`` is the latest water change or dechlorination.
    ``urls`` lead from a reading to the page it stands on. ``stocked`` says in a sentence that
    animals are in already.
    """

    zone: tzinfo
    terms: Terms | None
    members: Mapping[UUID, str]
    litres: float | None
    unmeasured: tuple[str, ...]
    start_ups: tuple[StartUp, ...]
    stocked: str
    certified: Certified | None
    trial: Trial | None
    proven_in: Conditions | None
    fed_at: datetime | None
    latest: Mapping[str, Measured]
    edges: Mapping[str, Edges]
    chlorine_limit_mg_l: float | None
    treated_at: datetime | None
    ramps: tuple[Ramp, ...]
    appliances: tuple[Appliance, ...]
    incidents: tuple[Happened, ...]
    urls: Mapping[UUID, str]
