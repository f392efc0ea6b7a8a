"""The forecast as a band over time: eight in ten members lie inside."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, NITRITE, TAN, Floats
from chemistry.cycling.members import Members
from chemistry.cycling.model import ph

_LEVELS: Final = (0.10, 0.50, 0.90)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    p10: tuple[float, ...]
    p50: tuple[float, ...]
    p90: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bands:
    """Nitrogen in mg/L as N, alkalinity in meq/L; before now as inferred, after as planned."""

    t_h: tuple[float, ...]
    tan: Band
    nitrite: Band
    nitrate: Band
    alkalinity: Band
    ph: Band


def bands(kept: Floats, *, t_h: tuple[float, ...], members: Members) -> Bands:
    """Summarise states kept over time, (times, 6, members)."""
    acidity = ph(np.moveaxis(kept, 1, 0), kappa=members.kinetics.kappa)
    return Bands(
        t_h=t_h,
        tan=_band(kept[:, TAN]),
        nitrite=_band(kept[:, NITRITE]),
        nitrate=_band(kept[:, NITRATE]),
        alkalinity=_band(kept[:, ALKALINITY]),
        ph=_band(acidity),
    )


def _band(values: Floats) -> Band:
    low, middle, high = np.quantile(values, _LEVELS, axis=1).tolist()
    return Band(p10=tuple(low), p50=tuple(middle), p90=tuple(high))
