"""How far a member is from what was read, in standard deviations.

Kits are compared in ln(x + c), pH as it is. A value that is only bounded (below detection, over
range, between two colours) counts by the probability of falling inside, from a normal
distribution, and enters least squares as its deviance residual sqrt(-2 ln P).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, NITRITE, TAN, Floats, Truths, Whole
from chemistry.cycling.case import Case, Reading
from chemistry.cycling.members import Members
from chemistry.cycling.model import ph
from chemistry.cycling.timeline import Timeline

_DISCREPANCY: Final = 0.12
_COLOUR_STEP: Final = 0.14
_BELOW_DETECTION_MEANS: Final = 0.65  # of the printed limit
HUBER_SD: Final = 3.0


@dataclass(frozen=True, slots=True)
class Kit:
    """Offset of the logarithm, then relative and absolute standard deviation."""

    offset: float
    relative: float
    absolute: float

    def sd(self, value: float) -> float:
        return math.hypot(self.relative * value, self.absolute) / (value + self.offset)


_COLOUR: Final = math.hypot(0.27, _DISCREPANCY, _COLOUR_STEP)
KITS: Final = {
    "tan": Kit(0.15, _COLOUR, 0.06),
    "nitrite": Kit(0.08, _COLOUR, 0.03),
    "nitrate": Kit(1.0, math.hypot(0.32, _DISCREPANCY, _COLOUR_STEP), 0.5),
    "alkalinity": Kit(0.1, math.hypot(0.10, 0.05), 0.08),
}
PH_SD: Final = math.hypot(0.16, 0.10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observations:
    """One entry per reading: its kept moment, and bounds on the compared scale.

    ``of_parameter`` says which entries are readings of what.
    """

    of_parameter: dict[str, Whole]
    moment: Whole
    low: Floats
    high: Floats
    sd_low: Floats
    sd_high: Floats
    is_exact: Truths

    @property
    def count(self) -> int:
        return len(self.moment)


def observed(case: Case) -> list[Reading]:
    """Return the readings the forecast is compared with; the others drive it."""
    return [reading for reading in case.readings if reading.parameter in {*KITS, "ph"}]


def observations(case: Case, plot: Timeline) -> Observations:
    """Return what the readings say, on the scale they are compared on."""
    readings = observed(case)
    bounds = np.array([_bounds(reading) for reading in readings]).reshape(-1, 4)
    names = [reading.parameter for reading in readings]
    return Observations(
        of_parameter={name: np.flatnonzero([name == one for one in names]) for name in set(names)},
        moment=np.array([plot.kept_h.index(reading.t_h) for reading in readings], dtype=np.int64),
        low=bounds[:, 0],
        high=bounds[:, 1],
        sd_low=bounds[:, 2],
        sd_high=bounds[:, 3],
        is_exact=np.array([reading.span.is_exact for reading in readings], dtype=np.bool_),
    )


def _bounds(reading: Reading) -> tuple[float, float, float, float]:
    told = reading.span
    low, high = told.low, told.high
    if reading.parameter == "ph":
        return low, high, PH_SD, PH_SD
    kit = KITS[reading.parameter]
    if low == -math.inf:
        high *= _BELOW_DETECTION_MEANS
    return *_logarithms(low, high, kit), *_sds(low, high, kit)


def _logarithms(low: float, high: float, kit: Kit) -> tuple[float, float]:
    lower = math.log(low + kit.offset) if low >= 0.0 else -math.inf
    upper = math.log(high + kit.offset) if high < math.inf else math.inf
    return lower, upper


def _sds(low: float, high: float, kit: Kit) -> tuple[float, float]:
    """Return the two ends' spread; an end at infinity borrows the other's."""
    finite = [end for end in (low, high) if math.isfinite(end)]
    return kit.sd(finite[0]), kit.sd(finite[-1])


def residuals(kept: Floats, *, of: Observations, members: Members) -> Floats:
    """Return (readings, members) distances; zero is a perfect account of the reading."""
    expected = _expected(kept, of, members)
    low, high = of.low[:, None], of.high[:, None]
    exact = (low - expected) / of.sd_low[:, None]
    if of.is_exact.all():
        return exact
    bounded = ~of.is_exact
    exact[bounded] = np.sqrt(
        deviance((expected - low)[bounded] / of.sd_low[bounded, None])
        + deviance((high - expected)[bounded] / of.sd_high[bounded, None])
    )
    return exact


def _expected(kept: Floats, of: Observations, members: Members) -> Floats:
    expected = np.empty((of.count, members.count))
    for parameter, entries in of.of_parameter.items():
        states = kept[of.moment[entries]].swapaxes(0, 1)
        expected[entries] = _ACCOUNTS[parameter](states, members)
    return expected


def _ph(state: Floats, members: Members) -> Floats:
    return ph(state, kappa=members.kinetics.kappa)


def _nitrate(state: Floats, members: Members) -> Floats:
    seen = state[NITRATE] + members.nitrite_in_nitrate * state[NITRITE]
    shown: Floats = np.log(seen + KITS["nitrate"].offset)
    return shown


def _logarithm(row: int, parameter: str) -> Callable[[Floats, Members], Floats]:
    def account(state: Floats, members: Members) -> Floats:
        bias = {"tan": members.tan_bias, "nitrite": members.nitrite_bias}.get(parameter, 1.0)
        shown: Floats = np.log(bias * state[row] + KITS[parameter].offset)
        return shown

    return account


_ACCOUNTS: Final = {
    "tan": _logarithm(TAN, "tan"),
    "nitrite": _logarithm(NITRITE, "nitrite"),
    "nitrate": _nitrate,
    "alkalinity": _logarithm(ALKALINITY, "alkalinity"),
    "ph": _ph,
}


def deviance(sds_inside: Floats) -> Floats:
    """Return -2 ln of the normal probability of lying below ``sds_inside``.

    Page 1977, Appl. Statist. 26: a cubic in a logistic curve, within 2e-4 in probability.
    """
    inside = np.clip(sds_inside, -20.0, 20.0)
    doubled: Floats = 2.0 * np.logaddexp(0.0, -inside * (1.5976 + 0.070566 * inside * inside))
    return doubled


def huber_cost(distances: Floats) -> Floats:
    """Return the sum over readings; beyond three sd a reading pulls with constant force."""
    far = np.abs(distances)
    cost: Floats = np.where(far <= HUBER_SD, far**2, HUBER_SD * (2.0 * far - HUBER_SD)).sum(axis=0)
    return cost
