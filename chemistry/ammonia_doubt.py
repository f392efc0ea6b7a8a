"""How far free ammonia may be out when pH, temperature and total ammonia are.

First-order propagation (Guide to the Expression of Uncertainty in Measurement) of NH₃ = TAN × f,
f = 1 / (1 + 10^(pK - pH)), for the fit in use; and the two ends themselves, which lie unevenly:
+0.1 pH at 25 °C, pH 8 is +24 %, -0.1 pH is -20 %.
"""

import math
from dataclasses import dataclass
from typing import Final

from chemistry.ammonia import unionised
from chemistry.ammonium import EMERSON_SLOPE_K
from chemistry.constants import KELVIN_AT_ZERO_CELSIUS
from chemistry.domain import Range, within
from chemistry.elementary import LN_10
from chemistry.ph_scales import PhScale

PH_DOUBT: Final = Range(name="uncertainty of pH", unit="", low=0.0, high=1.0)
TEMPERATURE_DOUBT: Final = Range(name="uncertainty of temperature", unit="°C", low=0.0, high=5.0)
RELATIVE_DOUBT: Final = Range(name="relative uncertainty", unit="", low=0.0, high=1.0)

_HALF_STEP_C: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """What the fraction rests on, with the standard uncertainties of pH and temperature."""

    ph: float
    temperature_c: float
    salinity_g_kg: float
    ph_scale: PhScale
    ph_uncertainty: float
    temperature_uncertainty_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Relative: ``standard`` to first order; ``below`` and ``above`` as the formula bends."""

    standard: float
    below: float
    above: float


def spread(sample: Sample, *, tan_relative_uncertainty: float) -> Spread:
    """Return the spread of free ammonia by the fit that ``unionised`` chooses for the sample.

    ``below`` (negative) and ``above`` join in quadrature the separate effects of each
    quantity going down and up by its uncertainty.

    Raises:
        OutOfRange: the sample, or an end of it, is outside the fit.
    """
    within(PH_DOUBT, ph_uncertainty=sample.ph_uncertainty)
    within(TEMPERATURE_DOUBT, temperature_uncertainty_c=sample.temperature_uncertainty_c)
    within(RELATIVE_DOUBT, tan_relative_uncertainty=tan_relative_uncertainty)
    by_ph, by_temperature = slopes(sample)
    return Spread(
        standard=math.hypot(
            tan_relative_uncertainty,
            by_ph * sample.ph_uncertainty,
            by_temperature * sample.temperature_uncertainty_c,
        ),
        below=-_one_side(sample, -1, tan_relative_uncertainty),
        above=_one_side(sample, +1, tan_relative_uncertainty),
    )


def slopes(sample: Sample) -> tuple[float, float]:
    """Return d ln f / d pH and d ln f / d °C of the fit in use."""
    fraction = _fraction(sample)
    by_ph = LN_10 * (1 - fraction)
    warm = _fraction(sample, warmer_c=_HALF_STEP_C)
    cool = _fraction(sample, warmer_c=-_HALF_STEP_C)
    return by_ph, math.log(warm / cool) / (2 * _HALF_STEP_C)


def relative_uncertainty(
    *,
    fraction: float,
    temperature_c: float,
    ph_uncertainty: float,
    temperature_uncertainty_c: float,
    tan_relative_uncertainty: float,
) -> float:
    """Return the relative standard uncertainty of NH₃ = TAN × fraction, to first order.

    Emerson's temperature slope is used for all waters. At pH 8, 25 °C an uncertainty of
    0.1 pH alone makes 22 %: show free ammonia with two figures at most.
    """
    kelvin = temperature_c + KELVIN_AT_ZERO_CELSIUS
    per_ph = LN_10 * (1 - fraction)
    per_kelvin = per_ph * EMERSON_SLOPE_K / kelvin**2
    return math.hypot(
        tan_relative_uncertainty,
        per_ph * ph_uncertainty,
        per_kelvin * temperature_uncertainty_c,
    )


def _one_side(sample: Sample, sign: int, tan_relative_uncertainty: float) -> float:
    here = _fraction(sample)
    by_ph = _fraction(sample, alkaline=sign * sample.ph_uncertainty) / here - 1
    by_warmth = _fraction(sample, warmer_c=sign * sample.temperature_uncertainty_c) / here - 1
    return math.hypot(by_ph, by_warmth, tan_relative_uncertainty)


def _fraction(sample: Sample, *, alkaline: float = 0.0, warmer_c: float = 0.0) -> float:
    return unionised(
        ph=sample.ph + alkaline,
        temperature_c=sample.temperature_c + warmer_c,
        salinity_g_kg=sample.salinity_g_kg,
        ph_scale=sample.ph_scale,
    ).fraction
