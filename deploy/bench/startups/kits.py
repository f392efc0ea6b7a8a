"""Test kits: their scales, bases, limits of detection and errors.

A colour kit answers with the nearest step of its scale, a photometer with a rounded number;
below the lowest step that can be told it answers ``"<0.25"``, above the highest ``">5"``. The
scales are of the kinds sold and the errors what keepers see of them (common practice, no
source): 12-28 % a reading, nitrate 20-35 %, 1.5 % of TAN readings grossly wrong.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

ION_PER_N: Final = {"N": 1.0, "NH4": 1.2878, "NH3": 1.2158, "NO2": 3.2844, "NO3": 4.4266}
_GROSS: Final = 0.015


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """The answers a kit can give, in its own basis; no steps means a photometer."""

    basis: str
    detects: float
    highest: float
    steps: tuple[float, ...] = ()
    digits: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One answer: as written, and what a keeper takes it for in mg/L as N."""

    written: float | str
    taken_mg_l_n: float
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    scale: Scale
    bias: float
    error: float
    floor: float
    gross: float = 0.0

    def read(self, true_mg_l_n: float, *, rng: np.random.Generator) -> Told:
        seen = true_mg_l_n * self.bias * (1.0 + self.error * float(rng.normal()))
        seen += self.floor * float(rng.normal())
        if rng.random() < self.gross:
            seen *= float(rng.choice([0.25, 0.5, 2.0, 3.5]))
        factor = ION_PER_N[self.scale.basis]
        written = _written(max(seen, 0.0) * factor, self.scale)
        return Told(written=written, taken_mg_l_n=_taken(written) / factor, basis=self.scale.basis)


TAN_SCALES: Final = (
    Scale(basis="NH4", detects=0.25, highest=8.0, steps=(0.25, 0.5, 1.0, 2.0, 4.0, 8.0)),
    Scale(basis="NH3", detects=0.25, highest=8.0, steps=(0.25, 0.5, 1.0, 2.0, 4.0, 8.0)),
    Scale(basis="NH4", detects=0.2, highest=10.0, steps=(0.2, 0.4, 0.6, 1.2, 2.5, 5.0, 10.0)),
    Scale(basis="N", detects=0.2, highest=6.0, steps=(0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.5, 6.0)),
    Scale(basis="N", detects=0.05, highest=10.0),
    Scale(basis="NH4", detects=0.05, highest=10.0),
)
NITRITE_SCALES: Final = (
    Scale(basis="NO2", detects=0.25, highest=5.0, steps=(0.25, 0.5, 1.0, 2.0, 5.0)),
    Scale(basis="NO2", detects=0.1, highest=10.0, steps=(0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)),
    Scale(basis="N", detects=0.15, highest=10.0, steps=(0.15, 0.3, 0.6, 1.2, 2.5, 5.0, 10.0)),
    Scale(basis="N", detects=0.02, highest=8.0),
    Scale(basis="NO2", detects=0.05, highest=25.0),
)
NITRATE_SCALES: Final = (
    Scale(basis="NO3", detects=5.0, highest=160.0, steps=(5.0, 10.0, 20.0, 40.0, 80.0, 160.0)),
    Scale(basis="NO3", detects=2.0, highest=100.0, steps=(2.0, 5.0, 10.0, 25.0, 50.0, 100.0)),
    Scale(basis="N", detects=0.5, highest=30.0, digits=1),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """All the tests one keeper owns, and how far they are off."""

    tan: Kit
    nitrite: Kit
    nitrate: Kit
    nitrite_seen_as_nitrate: float
    ph_offset: float
    ph_error: float
    ph_step: float
    hardness_bias: float
    hardness_step_dkh: float
    thermometer_offset_c: float
    salinity_bias: float


def shelf(rng: np.random.Generator) -> Shelf:
    return Shelf(
        tan=_kit(rng, TAN_SCALES, floor=0.04, gross=_GROSS),
        nitrite=_kit(rng, NITRITE_SCALES, floor=0.02),
        nitrate=_kit(rng, NITRATE_SCALES, floor=0.3, error=float(rng.uniform(0.20, 0.35))),
        nitrite_seen_as_nitrate=float(rng.uniform(0.0, 0.8)),
        ph_offset=float(rng.normal(0.0, 0.08)),
        ph_error=float(rng.uniform(0.05, 0.16)),
        ph_step=float(rng.choice([0.1, 0.2, 0.01])),
        hardness_bias=math.exp(float(rng.normal(0.0, 0.05))),
        hardness_step_dkh=float(rng.choice([0.5, 1.0, 0.1])),
        thermometer_offset_c=float(rng.normal(0.0, 0.3)),
        salinity_bias=math.exp(float(rng.normal(0.0, 0.02))),
    )


def _kit(
    rng: np.random.Generator,
    scales: tuple[Scale, ...],
    *,
    floor: float,
    gross: float = 0.0,
    error: float | None = None,
) -> Kit:
    return Kit(
        scale=scales[int(rng.integers(len(scales)))],
        bias=math.exp(float(rng.normal(0.0, 0.12))),
        error=float(rng.uniform(0.12, 0.28)) if error is None else error,
        floor=floor,
        gross=gross,
    )


def _written(seen: float, scale: Scale) -> float | str:
    if not scale.steps:
        return _measured(seen, scale)
    nearest = min(scale.steps, key=lambda mark: abs(math.sqrt(mark) - math.sqrt(seen)))
    if nearest == scale.steps[0] and seen < 0.6 * nearest:
        return f"<{scale.detects:g}"
    return f">{scale.highest:g}" if seen > 1.25 * scale.highest else nearest


def _measured(seen: float, scale: Scale) -> float | str:
    if seen < scale.detects:
        return f"<{scale.detects:g}"
    return f">{scale.highest:g}" if seen > scale.highest else round(seen, scale.digits)


def _taken(written: float | str) -> float:
    if isinstance(written, float):
        return written
    return 0.0 if written.startswith("<") else 1.5 * float(written[1:])
