"""Two-step nitrification by a biofilm, written in capacities and without any power or exponential.

Each group of oxidisers is known by its capacity X, the nitrogen it would oxidise per litre
and day at 25 °C with nothing in its way. Aeration keeps dissolved carbon dioxide about
constant, so hydrogen ion × alkalinity = kappa and pH costs one division.

Shapes: temperature slope 1.072 and 1.060 (Metcalf & Eddy's thetas, from memory, unverified)
with a fall above 32 °C; nitrite and ammonia inhibition after Anthonisen 1976 and Park & Bae
2009 (half rates there: ammonia 0.64, nitrous acid 0.024 to 0.095 mg N/L for nitrite
oxidisers); salinity after Nijhof & Bovendeur 1990 (sea water about 0.4 of fresh). Ammonium's
acidity: Millero 1995 as in seacarb's Kn, which at salinity 0 meets Emerson 1975 within 0.01.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, HOURS_PER_DAY, NITRITE, TAN, Floats, Reals
from chemistry.cycling.columns import Columns

HYDROGEN_AT_PH_6_4: Final = 10.0**1.6  # hydrogen ion in 1e-8 mol/L throughout this module
HYDROGEN_AT_PH_9_4: Final = 10.0**-1.4
NITROUS_ACID: Final = 10.0**4.7  # pKa 3.3
NITROUS_ACID_HALF_MG_L_N: Final = 0.05
ALKALINITY_HALF_MEQ_L: Final = 0.15
TRACE_MEQ_L: Final = 0.001
DECAY_PER_D: Final = 0.04
DECAY_SLOPE: Final = 1.06
THETA: Final = np.array([1.072, 1.060])
HOT_HALF_C: Final = np.array([32.5, 31.5])
HOT_WIDTH_C: Final = 1.2
REFERENCE_C: Final = 25.0
_NOTHING_MEQ_L: Final = 1e-12  # a whole change for water without alkalinity leaves none


@dataclass(frozen=True, slots=True, kw_only=True)
class Kinetics(Columns):
    """What differs between members; pairs are (2, members): ammonia, then nitrite oxidisers."""

    growth_per_d: Reals
    limit_mg_l_d: Reals
    half_mg_l_n: Reals
    nitrite_half_mg_l_n: Reals
    ammonia_half_mg_l_n: Reals
    kappa: Reals


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions(Columns):
    """What temperature and salinity make of the rates, one column for all or one each.

    ``activity`` is (2, columns), 1 at 25 °C in fresh water; ``ammonium_acidity`` in 1e-8 mol/L.
    The others are per day, or per step once taken ``over`` its hours.
    """

    activity: Reals
    ammonium_acidity: Reals
    decay: Reals
    feed_mg_l_n: Reals

    def over(self, hours: float) -> "Conditions":
        """Return what happens within a step."""
        days = hours / HOURS_PER_DAY
        return Conditions(
            activity=self.activity * days,
            ammonium_acidity=self.ammonium_acidity,
            decay=self.decay * days,
            feed_mg_l_n=self.feed_mg_l_n * days,
        )


def conditions(
    *, temperature_c: Floats, salinity_g_kg: Floats, feed_mg_l_d: float | Floats = 0.0
) -> Conditions:
    """Return the conditions of each moment of equally long series, per day."""
    pka = _ammonium_pka(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    return Conditions(
        activity=activities(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg),
        ammonium_acidity=10.0 ** (8.0 - pka),
        decay=DECAY_PER_D * DECAY_SLOPE ** (temperature_c - REFERENCE_C),
        feed_mg_l_n=feed_mg_l_d + np.zeros_like(temperature_c),
    )


def activities(*, temperature_c: Floats, salinity_g_kg: Floats) -> Floats:
    """Return the (2, n) shares of the fresh 25 °C rate; defined at any temperature."""
    slope = THETA[:, None] ** (temperature_c - REFERENCE_C)
    heat = 1.0 + np.exp((temperature_c - HOT_HALF_C[:, None]) / HOT_WIDTH_C)
    reference = 1.0 + np.exp((REFERENCE_C - HOT_HALF_C[:, None]) / HOT_WIDTH_C)
    share: Floats = slope / heat * reference * _salt_share(salinity_g_kg)
    return share


def _salt_share(salinity_g_kg: Floats) -> Floats:
    return np.interp(salinity_g_kg, [0.0, 10.0, 20.0, 60.0], [1.0, 0.9, 0.9, 0.02])


def _ammonium_pka(*, temperature_c: Floats, salinity_g_kg: Floats) -> Floats:
    kelvin = temperature_c + 273.15
    ln_k = (
        -6285.33 / kelvin
        + 0.0001635 * kelvin
        - 0.25444
        + (0.46532 - 123.7184 / kelvin) * np.sqrt(salinity_g_kg)
        + (-0.01992 + 3.17556 / kelvin) * salinity_g_kg
    )
    pka: Floats = -ln_k / np.log(10.0)
    return pka


def hydrogen(state: Reals, *, kappa: Reals) -> Reals:
    """Return hydrogen ion in 1e-8 mol/L."""
    concentration: Reals = kappa / (state[ALKALINITY] + TRACE_MEQ_L)
    return concentration


def ph(state: Reals, *, kappa: Reals) -> Floats:
    """Return the pH a kit would show, on whatever scale the readings used."""
    shown: Floats = 8.0 - np.log10(hydrogen(state, kappa=kappa).astype(np.float64))
    return shown


def rates(state: Reals, *, of: Kinetics, at: Conditions) -> tuple[Reals, Reals]:
    """Return uptake per mg of substrate and net growth, both (2, columns), in the time of ``at``.

    Written in place where it can be: this is where a forecast spends its time.
    """
    nitrogen, capacity = state[:2], state[4:]
    specific = _resistance(state, of=of, at=at)
    specific *= of.half_mg_l_n + nitrogen
    np.divide(at.activity, specific, out=specific)
    growth = capacity / of.limit_mg_l_d
    np.subtract(1.0, growth, out=growth)
    growth *= of.growth_per_d
    growth *= specific
    growth *= nitrogen
    growth -= at.decay
    specific *= capacity
    return specific, growth


def _resistance(state: Reals, *, of: Kinetics, at: Conditions) -> Reals:
    acid = hydrogen(state, kappa=of.kappa)
    resistance = inhibition(state, acid=acid, of=of, at=at)
    scarcity = state[ALKALINITY] + _NOTHING_MEQ_L
    np.divide(ALKALINITY_HALF_MEQ_L, scarcity, out=scarcity)
    scarcity += 1.0
    resistance[0] *= scarcity
    extreme = HYDROGEN_AT_PH_9_4 / acid
    acid *= 1.0 / HYDROGEN_AT_PH_6_4
    extreme += acid
    extreme += 1.0
    resistance *= extreme
    return resistance


def inhibition(state: Reals, *, acid: Reals, of: Kinetics, at: Conditions) -> Reals:
    """Return by how much nitrite, ammonia and nitrous acid divide each rate: (2, columns)."""
    slowed = np.empty_like(state[:2])
    np.divide(state[NITRITE], of.nitrite_half_mg_l_n, out=slowed[0])
    slowed[0] += 1.0
    ammonia = acid + at.ammonium_acidity
    ammonia *= of.ammonia_half_mg_l_n
    np.divide(state[TAN], ammonia, out=ammonia)
    ammonia *= at.ammonium_acidity
    nitrous = acid + NITROUS_ACID
    np.divide(acid, nitrous, out=nitrous)
    nitrous *= state[NITRITE]
    nitrous *= 1.0 / NITROUS_ACID_HALF_MG_L_N
    np.add(slowed[0], ammonia, out=slowed[1])
    slowed[1] += nitrous
    return slowed


def alkalinity_share(state: Reals, *, kappa: Reals) -> Reals:
    """Return the share of the ammonia oxidisers' rate that low pH and alkalinity leave."""
    acid = hydrogen(state, kappa=kappa)
    alkalinity = state[ALKALINITY]
    share: Reals = (
        alkalinity / (alkalinity + ALKALINITY_HALF_MEQ_L) / (1.0 + acid / HYDROGEN_AT_PH_6_4)
    )
    return share
