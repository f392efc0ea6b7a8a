"""What is believed of a start-up before its first reading: log-normal medians and widths at 25 °C.

The medians lie inside the spread of published kinetics and were set so that seeded fresh water
is ready in about two weeks and unseeded in four to eight (common practice, no source). The
widths are part of the design: narrower is over-confident.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import chain
from typing import Final

import numpy as np

from chemistry.cycling.arrays import Floats
from chemistry.cycling.case import (
    AlkalinityAddition,
    Case,
    Disinfection,
    Inoculation,
    Reading,
    WaterChange,
)

NAMES: Final = (
    "ammonia_oxidisers",
    "nitrite_oxidisers",
    "ammonia_growth",
    "nitrite_growth",
    "ammonia_limit",
    "nitrite_limit",
    "ammonia_half",
    "nitrite_half",
    "ammonia_inhibition",
    "nitrite_inhibition",
    "kappa",
    "alkalinity",
    "dose_scale",
    "tan_bias",
    "nitrite_bias",
    "nitrate",
    "nitrite_in_nitrate",
    "survival",
    "salt_shock",
)
_SHARED: Final = {
    "ammonia_growth": (0.95, 0.25),
    "nitrite_growth": (0.85, 0.28),
    "ammonia_half": (0.40, 0.40),
    "nitrite_half": (0.40, 0.45),
    "ammonia_inhibition": (0.45, 0.7),
    "nitrite_inhibition": (12.0, 0.6),
    "kappa": (2.2, 0.45),  # pH 8.0 at 2.2 meq/L
    "alkalinity": (2.2, 0.40),
    "dose_scale": (1.0, 0.10),
    "tan_bias": (1.0, 0.12),
    "nitrite_bias": (1.0, 0.12),
    "nitrate": (0.5, 1.5),
    # Most nitrate kits reduce nitrate to nitrite and show some of the nitrite that was there.
    "nitrite_in_nitrate": (0.3, 0.8),
    "survival": (0.4, 0.8),
    # An abrupt step this large, g/kg, leaves 1/e of a biofilm's rate. Kinyage 2019: a tenth is
    # left after a step of 15, nothing measurable after 25.
    "salt_shock": (8.0, 0.5),
}
_KILLED: Final = {"survival": (0.004, 1.2)}
_ALIVE: Final = {"ammonia_oxidisers": (0.70, 0.75), "nitrite_oxidisers": (0.55, 0.80)}
# From a few in a hundred alive to a few in a thousand, as chlorine leaves (see _KILLED).
_WEAK: Final = {"ammonia_oxidisers": (0.012, 1.7), "nitrite_oxidisers": (0.009, 1.7)}
_ONE_SIDED: Final = {"ammonia_oxidisers": (0.60, 0.8), "nitrite_oxidisers": (0.001, 1.4)}
_UNSEEDED: Final = {"ammonia_oxidisers": (2e-4, 1.2), "nitrite_oxidisers": (1.6e-4, 1.2)}
# A bed adds surface, bare media about half of it, mg/L as N a day (common practice, no source).
_ROOM: Final = {
    True: {"ammonia_limit": (28.0, 0.5), "nitrite_limit": (25.0, 0.5)},
    False: {"ammonia_limit": (15.0, 0.5), "nitrite_limit": (13.5, 0.5)},
}
# A bare tank's walls and pipes: about 1 m2 to 60 L at 0.3 g N/m2/d (of the 0.2 to 1.0 for fixed
# films: Timmons & Ebeling, from memory, unverified) carries 5 mg/L a day, hardly the challenge.
_SMALL: Final = {"ammonia_limit": (5.0, 0.5), "nitrite_limit": (4.5, 0.5)}
_SMALL_WEIGHT: Final = {True: 0.01, False: 0.04}  # by whether a bed adds surface
BACKGROUND_MG_L_D: Final = np.array([[2e-4], [1.6e-4]])

_MEASURED_ALKALINITY_SD: Final = 0.12
_MEASURED_NITRATE_SD: Final = 0.4
_EARLY_H: Final = 48.0
_LEAST_ALKALINITY_MEQ_L: Final = 0.05
_LEAST_NITRATE_MG_L_N: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """One story of the seed: ``inoculation`` counts which of several took; -1 is none."""

    cause: str
    weight: float
    median: Floats
    sd: Floats
    inoculation: int


def hypotheses(case: Case) -> tuple[Hypothesis, ...]:
    """Return the stories worth telling of this case, weights summing to 1."""
    seeds = sum(isinstance(event, Inoculation) for event in case.events)
    takes = {0, seeds - 1} if seeds else {-1}
    told = tuple(chain.from_iterable(_stories(case, taken=taken) for taken in takes))
    small = _small(case, taken=max(takes))
    share = (1.0 - small.weight) / sum(story.weight for story in told)
    return (*(replace(story, weight=story.weight * share) for story in told), small)


def _small(case: Case, *, taken: int) -> Hypothesis:
    """Return the story of a filter too small for its challenge."""
    weight = _SMALL_WEIGHT[case.system.substrate]
    seed = _UNSEEDED if taken < 0 else _ALIVE
    return _hypothesis(case, "small_filter", weight, seed | _SMALL, inoculation=taken)


def _stories(case: Case, *, taken: int) -> Iterable[Hypothesis]:
    if taken < 0:
        yield _hypothesis(case, "", 1.0, _UNSEEDED, inoculation=taken)
        return
    first = taken == 0
    yield _hypothesis(case, "", 0.70 if first else 0.35, _ALIVE, inoculation=taken)
    yield _hypothesis(
        case, "nitrite_oxidisers_missing", 0.10 if first else 0.05, _ONE_SIDED, inoculation=taken
    )
    if first:
        yield _hypothesis(case, "weak_or_dead_seed", 0.20, _WEAK, inoculation=taken)
    if any(isinstance(event, Disinfection) for event in case.events):
        yield _hypothesis(case, "weak_or_dead_seed", 0.70, _ALIVE | _KILLED, inoculation=taken)


def _hypothesis(
    case: Case,
    cause: str,
    weight: float,
    seed: dict[str, tuple[float, float]],
    *,
    inoculation: int,
) -> Hypothesis:
    beliefs = _SHARED | _ROOM[case.system.substrate] | _measured_at_start(case) | seed
    return Hypothesis(
        cause=cause,
        weight=weight,
        median=np.log([beliefs[name][0] for name in NAMES]),
        sd=np.array([beliefs[name][1] for name in NAMES]),
        inoculation=inoculation,
    )


def _measured_at_start(case: Case) -> dict[str, tuple[float, float]]:
    known: dict[str, tuple[float, float]] = {}
    if (alkalinity := _first_early(case, "alkalinity")) is not None:
        known["alkalinity"] = (max(alkalinity, _LEAST_ALKALINITY_MEQ_L), _MEASURED_ALKALINITY_SD)
    if (nitrate := _first_early(case, "nitrate")) is not None:
        known["nitrate"] = (max(nitrate, _LEAST_NITRATE_MG_L_N), _MEASURED_NITRATE_SD)
    return known


def _first_early(case: Case, parameter: str) -> float | None:
    """Return the first plain value, if nothing but oxidation can have changed it since."""
    exact = (reading for reading in case.of(parameter) if reading.span.is_exact)
    first = next(exact, None)
    if first is None or first.t_h > _EARLY_H or _was_altered(case, before=first):
        return None
    return first.span.low


def _was_altered(case: Case, *, before: Reading) -> bool:
    return any(
        isinstance(event, AlkalinityAddition | WaterChange) and event.t_h < before.t_h
        for event in case.events
    )
