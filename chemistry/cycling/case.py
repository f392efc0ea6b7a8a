"""One biofilter start-up as it is known at a moment: what was done, what was read, what is planned.

Times are hours since the start of the case. Everything is kept as it was written; canonical
amounts are properties. ``case_file`` reads and writes the JSON form, cycle-case/1.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final, Literal, TypeAlias, TypeVar

from chemistry.cycling.values import Span, canonical
from chemistry.feed import tan_rise_from_feed_mg_l_n
from chemistry.nitrogen import Basis, to_nitrogen

Kind: TypeAlias = Literal["fresh", "brackish", "marine"]
USUAL_SALINITY_G_KG: Final[dict[str, float]] = {"fresh": 0.3, "brackish": 12.0, "marine": 35.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """The water being started; ``substrate`` says whether a bed adds surface."""

    water: Kind
    temperature_setpoint_c: float = 26.0
    salinity_ppt: float = 0.3
    substrate: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class DosingPlan:
    """What the keeper will do at each check; the cap is our addition to cycle-case/1."""

    tan_at_or_below_mg_l_n: float = 0.5
    nitrite_at_or_below_mg_l_n: float = 2.0
    redose_mg_l_n: float = 2.0
    checks_per_day: int = 1
    adds_alkalinity_when_ph_at_or_below: float = 7.4
    alkalinity_step_meq_l: float = 1.5
    tan_cap_mg_l_n: float = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyDefinition:
    """The 24-hour pass that makes a water ready, and how far ahead to look."""

    challenge_mg_l_n: float = 2.0
    window_h: float = 24.0
    tan_limit_mg_l_n: float = 0.25
    nitrite_limit_mg_l_n: float = 0.25
    sustained_h: float = 24.0
    horizon_h: float = 1800.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Inoculation:
    """Culture or mature media went in."""

    t_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AmmoniumDose:
    """Ammonium chloride, as the rise it should make."""

    t_h: float
    amount: float
    basis: str = "N"

    @property
    def rise_mg_l_n(self) -> float:
        return to_nitrogen(self.amount, basis=Basis(self.basis))


@dataclass(frozen=True, slots=True, kw_only=True)
class AlkalinityAddition:
    t_h: float
    amount: float
    unit: str = "meq/L"

    @property
    def rise_meq_l(self) -> float:
        return canonical(self.amount, parameter="alkalinity", unit=self.unit, basis=None).low


@dataclass(frozen=True, slots=True, kw_only=True)
class SalinityChange:
    """An abrupt step; a slow drift is told by readings."""

    t_h: float
    salinity_ppt: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterChange:
    t_h: float
    fraction: float
    source_alkalinity_meq_l: float = 2.0
    source_tan_mg_l_n: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Feed:
    """Food given to the filter or its animals; becomes TAN over the day that follows."""

    t_h: float
    feed_g: float
    protein: float
    volume_l: float

    @property
    def rise_mg_l_n(self) -> float:
        return tan_rise_from_feed_mg_l_n(
            feed_g=self.feed_g, protein_share=self.protein, volume_l=self.volume_l
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Disinfection:
    """Chlorine, a medicine or ultraviolet light reached the filter; survival unknown."""

    t_h: float


Event: TypeAlias = (
    Inoculation
    | AmmoniumDose
    | AlkalinityAddition
    | SalinityChange
    | WaterChange
    | Feed
    | Disinfection
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One result as written, with the unit and basis it was written in."""

    t_h: float
    parameter: str
    value: float | str
    unit: str
    basis: str | None = None

    @property
    def span(self) -> Span:
        return canonical(self.value, parameter=self.parameter, unit=self.unit, basis=self.basis)


_Timed = TypeVar("_Timed", Event, Reading)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Everything one forecast is made from."""

    now_h: float
    system: System
    events: tuple[Event, ...] = ()
    readings: tuple[Reading, ...] = ()
    plan: DosingPlan = field(default_factory=DosingPlan)
    ready: ReadyDefinition = field(default_factory=ReadyDefinition)

    def up_to_now(self) -> "Case":
        """Return the case without what had not happened yet, in order of time."""
        return replace(
            self,
            events=_past(self.events, self.now_h),
            readings=_past(self.readings, self.now_h),
        )

    def never_buffered(self) -> "Case":
        """Return the case with a plan that adds no alkalinity."""
        return replace(self, plan=replace(self.plan, alkalinity_step_meq_l=0.0))

    def of(self, parameter: str) -> list[Reading]:
        return [reading for reading in self.readings if reading.parameter == parameter]

    @property
    def is_seeded(self) -> bool:
        return any(isinstance(event, Inoculation) for event in self.events)


def _past(happenings: Iterable[_Timed], now_h: float) -> tuple[_Timed, ...]:
    past = (happening for happening in happenings if happening.t_h <= now_h)
    return tuple(sorted(past, key=lambda happening: happening.t_h))
