"""A biofilter start-up whose truth is known: the water behind the demo's readings.

It lives by the equations of `chemistry.cycling`, with figures of its own that the forecast is
never told.
"""

from dataclasses import dataclass
from math import ceil, exp
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, NITRITE, TAN, Floats
from chemistry.cycling.integrator import step
from chemistry.cycling.model import Conditions, Kinetics, conditions, ph

_LONGEST_STEP_H: Final = 1.0
_SHOCK_G_KG: Final = 8.0
_STRAYS_MG_L_D: Final = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Nature:
    """What this water is like: pairs are ammonia, then nitrite oxidisers, per day at 25 °C.

    ``kappa`` sets which pH goes with which alkalinity: 2.2 gives 8.0 at 2.2 meq/L. Gravel and
    top-up water give back a little alkalinity every day.
    """

    seed_mg_l_d: tuple[float, float]
    alkalinity_meq_l: float
    nitrate_mg_l_n: float = 1.0
    growth_per_d: tuple[float, float] = (0.95, 0.85)
    limit_mg_l_d: tuple[float, float] = (22.0, 20.0)
    half_mg_l_n: tuple[float, float] = (0.4, 0.4)
    kappa: float = 2.2
    dissolves_meq_l_d: float = 0.0


class Basin:
    def __init__(self, nature: Nature, *, temperature_c: float, salinity_g_kg: float) -> None:
        self._kinetics = _kinetics(nature)
        self._nature = nature
        self.temperature_c = temperature_c
        self.salinity_g_kg = salinity_g_kg
        self._state: Floats = np.zeros((6, 1))
        self._state[NITRATE] = nature.nitrate_mg_l_n
        self._state[ALKALINITY] = nature.alkalinity_meq_l
        self._state[4:] = _STRAYS_MG_L_D

    def live(self, hours: float) -> None:
        count = max(ceil(hours / _LONGEST_STEP_H), 1)
        at = self._conditions().over(hours / count)
        for _ in range(count):
            self._state[ALKALINITY] += self._nature.dissolves_meq_l_d * hours / count / 24.0
            self._state = step(self._state, of=self._kinetics, at=at)

    def seed(self) -> None:
        self._state[4:] += np.array(self._nature.seed_mg_l_d)[:, None]

    def dose(self, mg_l_n: float) -> None:
        self._state[TAN] += mg_l_n

    def buffer(self, meq_l: float) -> None:
        self._state[ALKALINITY] += meq_l

    def exchange(self, share: float, *, alkalinity_meq_l: float) -> None:
        self._state[: ALKALINITY + 1] *= 1 - share
        self._state[ALKALINITY] += share * alkalinity_meq_l

    def salt(self, rise_g_kg: float) -> None:
        """A step in salinity costs the biofilm some of its rate."""
        self.salinity_g_kg += rise_g_kg
        self._state[4:] *= exp(-abs(rise_g_kg) / _SHOCK_G_KG)

    def truth(self) -> dict[str, float]:
        """Return every parameter in canonical units."""
        return {
            "TAN": self._at(TAN),
            "NITRITE": self._at(NITRITE),
            "NITRATE": self._at(NITRATE),
            "ALKALINITY": self._at(ALKALINITY),
            "PH": float(ph(self._state, kappa=self._kinetics.kappa)[0]),
            "TEMPERATURE": self.temperature_c,
            "SALINITY": self.salinity_g_kg,
        }

    def _at(self, row: int) -> float:
        return float(self._state[row, 0])

    def _conditions(self) -> Conditions:
        return conditions(
            temperature_c=np.array([self.temperature_c]),
            salinity_g_kg=np.array([self.salinity_g_kg]),
        )


def _kinetics(nature: Nature) -> Kinetics:
    return Kinetics(
        growth_per_d=_pair(nature.growth_per_d),
        limit_mg_l_d=_pair(nature.limit_mg_l_d),
        half_mg_l_n=_pair(nature.half_mg_l_n),
        nitrite_half_mg_l_n=np.array([12.0]),
        ammonia_half_mg_l_n=np.array([0.45]),
        kappa=np.array([nature.kappa]),
    )


def _pair(values: tuple[float, float]) -> Floats:
    return np.array(values)[:, None]
