"""Which start-ups there are, and what is drawn for one of them.

Medians and spreads are set so that lengths agree with what the trade sees: seeded about two
weeks, unseeded four to eight, sea water slower (common practice, no source; Nijhof and Bovendeur
1990 for sea water). Growth rates and half-rate values lie inside the published spread.
"""

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

Water: TypeAlias = Literal["fresh", "brackish", "marine"]
HORIZON_H: Final = 1800.0

WEIGHTS: Final[dict[str, float]] = {
    "seeded_ok": 0.25,
    "seeded_weak": 0.11,
    "unseeded": 0.14,
    "no_nob": 0.08,
    "dead_seed": 0.08,
    "low_alk": 0.09,
    "overdose": 0.06,
    "cold": 0.06,
    "heater_fail": 0.05,
    "salinity_shock": 0.04,
    "small_filter": 0.04,
}
CAUSES: Final[dict[str, str]] = {
    "seeded_weak": "weak_or_dead_seed",
    "dead_seed": "weak_or_dead_seed",
    "no_nob": "nitrite_oxidisers_missing",
    "low_alk": "low_alkalinity",
    "overdose": "inhibition",
    "cold": "cold",
}
_HAS_BED: Final = 0.6
_TELLS_OF_DISINFECTION: Final = 0.15
_SOFT_IS_FRESH: Final = 0.8
_WATERS: Final[dict[Water, float]] = {"fresh": 0.60, "brackish": 0.12, "marine": 0.28}


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a start-up begins with; populations as mg/L as N a day they could oxidise."""

    scenario: str
    water: Water
    substrate: bool
    temperature_setpoint_c: float
    salinity: float
    alkalinity_meq_l: float
    ammonia_oxidisers: float
    fast_oxidisers: float
    slow_oxidisers: float
    survival: float
    has_told_disinfection: bool
    lag_d: float
    traits: dict[str, float]

    @property
    def is_seeded(self) -> bool:
        return self.scenario != "unseeded"


def draw(rng: np.random.Generator) -> Setting:
    scenario = str(rng.choice(list(WEIGHTS), p=list(WEIGHTS.values())))
    water = _water(rng, scenario)
    substrate = bool(rng.random() < _HAS_BED) and scenario != "small_filter"
    ammonia, fast, slow = _seed(rng, scenario)
    return Setting(
        scenario=scenario,
        water=water,
        substrate=substrate,
        temperature_setpoint_c=_setpoint_c(rng, scenario),
        salinity=_salinity(rng, water),
        alkalinity_meq_l=_alkalinity(rng, scenario, water),
        ammonia_oxidisers=ammonia,
        fast_oxidisers=fast,
        slow_oxidisers=slow,
        survival=0.003 * _spread(rng, 0.4) if scenario == "dead_seed" else 1.0,
        has_told_disinfection=scenario == "dead_seed"
        and bool(rng.random() < _TELLS_OF_DISINFECTION),
        lag_d=(4.0 if scenario == "unseeded" else 1.2) * _spread(rng, 0.5),
        traits=_traits(rng, scenario, water, substrate=substrate),
    )


def _water(rng: np.random.Generator, scenario: str) -> Water:
    if scenario in ("low_alk", "salinity_shock"):
        return "fresh" if rng.random() < _SOFT_IS_FRESH else "brackish"
    kinds = list(_WATERS)
    return kinds[int(rng.choice(len(kinds), p=list(_WATERS.values())))]


def _seed(rng: np.random.Generator, scenario: str) -> tuple[float, float, float]:
    if scenario == "unseeded":
        return _around(rng, 4e-4, 1.0), _around(rng, 2e-4, 1.0), _around(rng, 3e-4, 1.0)
    strength = _around(rng, 0.75, 0.5)
    if scenario == "seeded_weak":
        strength *= _around(rng, 0.10, 0.5)
    oxidisers = strength * _around(rng, 0.9, 0.3)
    if scenario == "no_nob":
        return 0.8 * oxidisers, _around(rng, 2e-4, 0.9), _around(rng, 3e-4, 0.9)
    return oxidisers, strength * _around(rng, 0.25, 0.6), strength * _around(rng, 0.45, 0.6)


def _setpoint_c(rng: np.random.Generator, scenario: str) -> float:
    low, high = (17.0, 21.5) if scenario == "cold" else (23.0, 29.0)
    return round(float(rng.uniform(low, high)), 1)


def _salinity(rng: np.random.Generator, water: Water) -> float:
    low, high = {"fresh": (0.15, 0.6), "brackish": (4.0, 16.0), "marine": (18.0, 36.0)}[water]
    return float(rng.uniform(low, high))


def _alkalinity(rng: np.random.Generator, scenario: str, water: Water) -> float:
    if scenario == "low_alk":
        return float(rng.uniform(0.35, 0.75))
    return min(
        _around(rng, 2.5 if water == "marine" else 2.2, 0.2 if water == "marine" else 0.4), 6
    )


def _traits(
    rng: np.random.Generator, scenario: str, water: Water, *, substrate: bool
) -> dict[str, float]:
    room = 5.5 if scenario == "small_filter" else 36.0 if substrate else 18.0
    width = 0.4
    marine = 0.86 if water == "marine" else 1.0
    return {
        "ammonia_growth": marine * _around(rng, 1.05, 0.16),
        "fast_growth": marine * _around(rng, 1.10, 0.16),
        "slow_growth": marine * _around(rng, 0.85, 0.16),
        "ammonia_half_mg_l": _around(rng, 0.5, 0.4),
        "fast_half_mg_l": _around(rng, 2.2, 0.4),
        "slow_half_mg_l": _around(rng, 0.35, 0.4),
        "ammonia_substrate_limit_mg_l": _around(rng, 8.0, 0.5),
        "nitrite_substrate_limit_mg_l": _around(rng, 30.0, 0.5),
        "free_ammonia_half_mg_l": _around(rng, 0.6, 0.8),
        "nitrous_half_mg_l": _around(rng, 0.05, 0.5),
        "nitrite_on_ammonia_half_mg_l": _around(rng, 20.0, 0.5),
        "ammonia_room": _around(rng, room, width),
        "nitrite_room": _around(rng, room, width),
        "decay": _around(rng, 0.035, 0.3),
        "best_ph": float(rng.uniform(7.6, 8.1)),
        "ph_width": float(rng.uniform(0.8, 1.05)),
        "ammonia_best_c": float(rng.uniform(29.5, 32.5)),
        "nitrite_best_c": float(rng.uniform(28.0, 31.0)),
        "salt_penalty": float(rng.uniform(0.08, 0.25)),
        "salt_shock_ppt": _around(rng, 8.0, 0.3),
        "aeration_per_h": _around(rng, 2.5, 0.4),
        "air_co2_uatm": float(rng.uniform(450.0, 1100.0)),
        "nitrate_loss": float(rng.uniform(0.0, 0.02)),
        "bound_share": float(rng.uniform(0.01, 0.02)),
    }


def _around(rng: np.random.Generator, median: float, spread: float) -> float:
    return median * _spread(rng, spread)


def _spread(rng: np.random.Generator, spread: float) -> float:
    return math.exp(float(rng.normal(0.0, spread)))
