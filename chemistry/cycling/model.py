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

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRITE, TAN, Floats, Truths

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
class Kinetics:
    """What differs between members; pairs are (2, members): ammonia, then nitrite oxidisers."""

    growth_per_d: Floats
    limit_mg_l_d: Floats
    half_mg_l_n: Floats
    nitrite_half_mg_l_n: Floats
    ammonia_half_mg_l_n: Floats
    kappa: Floats

    def of(self, members: Truths) -> "Kinetics":
        """Return only the members chosen by a mask."""
        return Kinetics(
            growth_per_d=self.growth_per_d[:, members],
            limit_mg_l_d=self.limit_mg_l_d[:, members],
            half_mg_l_n=self.half_mg_l_n[:, members],
            nitrite_half_mg_l_n=self.nitrite_half_mg_l_n[members],
            ammonia_half_mg_l_n=self.ammonia_half_mg_l_n[members],
            kappa=self.kappa[members],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What temperature and salinity make of the rates at one moment.

    ``activity`` is (2, 1), 1 at 25 °C in fresh water; ``ammonium_acidity`` in 1e-8 mol/L.
    """

    activity: Floats
    ammonium_acidity: float
    decay_per_d: float
    feed_mg_l_d: float = 0.0


def conditions(*, temperature_c: Floats, salinity_g_kg: Floats) -> Iterator[Conditions]:
    """Yield the conditions of each moment of two equally long series."""
    activity = activities(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    acidity = 10.0 ** (
        8.0 - _ammonium_pka(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    )
    decay = DECAY_PER_D * DECAY_SLOPE ** (temperature_c - REFERENCE_C)
    for moment in range(len(temperature_c)):
        yield Conditions(
            activity=activity[:, moment : moment + 1],
            ammonium_acidity=float(acidity[moment]),
            decay_per_d=float(decay[moment]),
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


def hydrogen(state: Floats, *, kappa: Floats) -> Floats:
    """Return hydrogen ion in 1e-8 mol/L."""
    concentration: Floats = kappa / (state[ALKALINITY] + TRACE_MEQ_L)
    return concentration


def ph(state: Floats, *, kappa: Floats) -> Floats:
    """Return the pH a kit would show, on whatever scale the readings used."""
    shown: Floats = 8.0 - np.log10(hydrogen(state, kappa=kappa))
    return shown


def rates(state: Floats, *, of: Kinetics, at: Conditions) -> tuple[Floats, Floats]:
    """Return uptake per mg of substrate and net growth, both (2, members) and per day."""
    nitrogen, capacity = state[:2], state[4:]
    specific = at.activity / (_resistance(state, of=of, at=at) * (of.half_mg_l_n + nitrogen))
    crowding = 1.0 - capacity / of.limit_mg_l_d
    growth = of.growth_per_d * specific * nitrogen * crowding - at.decay_per_d
    return capacity * specific, growth


def _resistance(state: Floats, *, of: Kinetics, at: Conditions) -> Floats:
    acid = hydrogen(state, kappa=of.kappa)
    alkalinity = state[ALKALINITY]
    resistance = inhibition(state, acid=acid, of=of, at=at)
    resistance[0] *= 1.0 + ALKALINITY_HALF_MEQ_L / (alkalinity + _NOTHING_MEQ_L)
    resistance *= 1.0 + acid / HYDROGEN_AT_PH_6_4 + HYDROGEN_AT_PH_9_4 / acid
    return resistance


def inhibition(state: Floats, *, acid: Floats, of: Kinetics, at: Conditions) -> Floats:
    """Return by how much nitrite, ammonia and nitrous acid divide each rate: (2, members)."""
    slowed = np.empty((2, state.shape[1]))
    slowed[0] = 1.0 + state[NITRITE] / of.nitrite_half_mg_l_n
    ammonia = state[TAN] * at.ammonium_acidity / (at.ammonium_acidity + acid)
    nitrous = state[NITRITE] * acid / (acid + NITROUS_ACID)
    slowed[1] = slowed[0] + ammonia / of.ammonia_half_mg_l_n + nitrous / NITROUS_ACID_HALF_MG_L_N
    return slowed


def alkalinity_share(state: Floats, *, kappa: Floats) -> Floats:
    """Return the share of the ammonia oxidisers' rate that low pH and alkalinity leave."""
    acid = hydrogen(state, kappa=kappa)
    alkalinity = state[ALKALINITY]
    share: Floats = (
        alkalinity / (alkalinity + ALKALINITY_HALF_MEQ_L) / (1.0 + acid / HYDROGEN_AT_PH_6_4)
    )
    return share
