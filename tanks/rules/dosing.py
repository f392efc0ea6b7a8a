"""How much of a product brings a water where it is wanted, and what was really measured out.

Stoichiometry is `chemistry`'s; here stand the trade's choices: what each purpose is for, which
substances serve it, in which units it is aimed, and to what a scale or a syringe can be read.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, TypeAlias

from chemistry.alkalinity import (
    meq_l_from_caco3,
    meq_l_from_dkh,
    sodium_bicarbonate_g,
    sodium_carbonate_g,
)
from chemistry.dechlorination import thiosulfate_pentahydrate_g
from chemistry.dilution import salt_g
from chemistry.dosing import ammonium_chloride_g, stock_ml

ASK_BEYOND: Final = 2.0
COARSE: Final = 0.05

Conversion: TypeAlias = Callable[[float], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What a purpose moves, with which substances; ``units`` map to canonical, the first is it."""

    moves: str
    substances: tuple[str, ...]
    units: dict[str, Conversion]
    about: str

    @property
    def unit(self) -> str:
        return next(iter(self.units))


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What a product is: ``strength`` is purity 0-1 of a solid, or g of substance per litre."""

    substance: str
    form: str
    strength: float

    @property
    def unit(self) -> str:
        return "g" if self.form == "SOLID" else "mL"


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """What the water was before, where the amount depends on it: salt does."""

    salinity_g_kg: float
    temperature_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """``exact`` as computed and ``rounded`` as it can be measured, in ``unit`` (g or mL)."""

    exact: float
    rounded: Decimal
    unit: str
    substance_g: float

    @property
    def is_coarse(self) -> bool:
        """Tell whether rounding alone makes the dose wrong by more than 5 %."""
        return abs(float(self.rounded) - self.exact) > COARSE * self.exact


def amount(
    *, contents: Contents, rise: float, volume_l: float, start: Start | None = None
) -> Amount:
    """Return how much of the product gives ``rise`` (canonical unit) in ``volume_l``.

    Raises:
        OutOfRange: the rise or the strength lies where the formula does not hold.
        KeyError: the substance is no dose, or it is salt and the start is not known.
    """
    pure_g = _pure_g(contents.substance, rise, volume_l, start)
    if contents.unit == "mL":
        exact = stock_ml(substance_g=pure_g, stock_g_l=contents.strength)
    else:
        exact = pure_g / contents.strength
    return Amount(
        exact=exact,
        rounded=measurable(exact, contents.unit),
        unit=contents.unit,
        substance_g=pure_g,
    )


def implied(*, measured: float, exact: float, target: float) -> float:
    """Return what the amount really measured out gives, in the target's own unit.

    Proportional: exactly so for all but salt, where it is within 1 % of the rise.
    """
    return target * measured / exact


def is_far(*, measured: float, exact: float) -> bool:
    """Tell whether the amount is more than twice or less than half of the computed one."""
    return not exact / ASK_BEYOND <= measured <= exact * ASK_BEYOND


def measurable(exact: float, unit: str) -> Decimal:
    """Round to what a scale or a syringe for that much shows: common practice, no source."""
    steps = _SCALE if unit == "g" else _SYRINGE
    step = next(step for below, step in steps if exact < below)
    return (Decimal(repr(exact)) / step).quantize(Decimal(1)) * step


def canonical_rise(*, purpose: str, target: float, unit: str) -> float:
    """Return the target in the purpose's canonical unit.

    Raises:
        KeyError: the purpose is not aimed in this unit.
    """
    return AIMS[purpose].units[unit](target)


def serves(substance: str, purpose: str) -> bool:
    return substance in AIMS[purpose].substances


def same_effect(purpose: str) -> tuple[str, ...]:
    """Return the purposes that move the same thing: feeding and challenging both add ammonia."""
    return tuple(other for other, aim in AIMS.items() if aim.moves == AIMS[purpose].moves)


def _pure_g(substance: str, rise: float, volume_l: float, start: Start | None) -> float:
    match substance:
        case "AMMONIUM_CHLORIDE":
            return ammonium_chloride_g(tan_mg_l_n=rise, volume_l=volume_l)
        case "SODIUM_BICARBONATE":
            return sodium_bicarbonate_g(rise_meq_l=rise, volume_l=volume_l)
        case "SODIUM_CARBONATE":
            return sodium_carbonate_g(rise_meq_l=rise, volume_l=volume_l)
        case "SODIUM_THIOSULFATE":
            return thiosulfate_pentahydrate_g(total_chlorine_mg_l_cl2=rise, volume_l=volume_l)
        case "SEA_SALT" if start is not None:
            return salt_g(
                volume_l=volume_l,
                salinity_g_kg=start.salinity_g_kg,
                target_g_kg=start.salinity_g_kg + rise,
                temperature_c=start.temperature_c,
            )
    raise KeyError(substance)


def _as_is(value: float) -> float:
    return value


_BIG: Final = float("inf")
# A pocket scale shows 0.01 g, a kitchen scale 0.1 or 1 g; syringes of 1, 10 and 60 mL.
_SCALE: Final = (
    (20.0, Decimal("0.01")),
    (200.0, Decimal("0.1")),
    (5000.0, Decimal(1)),
    (_BIG, Decimal(10)),
)
_SYRINGE: Final = (
    (1.0, Decimal("0.01")),
    (10.0, Decimal("0.1")),
    (250.0, Decimal(1)),
    (_BIG, Decimal(10)),
)

AIMS: Final[dict[str, Aim]] = {
    "AMMONIA": Aim(
        moves="total ammonia nitrogen",
        substances=("AMMONIUM_CHLORIDE",),
        units={"mg/L-N": _as_is},
        about="Total ammonia nitrogen to add, in mg/L as N; your kit may show it as NH₃ or NH₄.",
    ),
    "CHALLENGE": Aim(
        moves="total ammonia nitrogen",
        substances=("AMMONIUM_CHLORIDE",),
        units={"mg/L-N": _as_is},
        about="The load to be cleared, in mg/L as N, as one dose.",
    ),
    "ALKALINITY": Aim(
        moves="alkalinity",
        substances=("SODIUM_BICARBONATE", "SODIUM_CARBONATE"),
        units={
            "meq/L": _as_is,
            "dKH": lambda dkh: meq_l_from_dkh(alkalinity_dkh=dkh),
            "mg/L CaCO3": lambda mg_l: meq_l_from_caco3(alkalinity_mg_l_caco3=mg_l),
        },
        about="By how much alkalinity is to rise.",
    ),
    "DECHLORINATE": Aim(
        moves="total chlorine",
        substances=("SODIUM_THIOSULFATE",),
        units={"mg/L as Cl2": _as_is},
        about="Total chlorine to take up, in mg/L as Cl₂, as the test reads it.",
    ),
    "SALINITY": Aim(
        moves="salinity",
        substances=("SEA_SALT",),
        units={"g/kg": _as_is},
        about="By how much salinity is to rise, in g/kg.",
    ),
}
