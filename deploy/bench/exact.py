"""The forecast's start-up equations written out once more, for one member, as SciPy solves them.

Nothing is taken from the model's code, so agreement says something. SciPy is no dependency of the
product: whoever asks for a solution needs the development lock.
"""

import importlib
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from chemistry.cycling.arrays import Floats
from chemistry.cycling.model import Kinetics

State: TypeAlias = Sequence[float] | Floats
Slope: TypeAlias = Callable[[float, State], list[float]]

_MEQ_PER_MG_N = 2.0 / 14.007  # two equivalents per mole of nitrogen oxidised, charge balance


@dataclass(frozen=True, slots=True, kw_only=True)
class Constants:
    """One member's: mg/L as N, per day at 25 °C, hydrogen ion in 1e-8 mol/L times meq/L."""

    k1: float
    k2: float
    kn: float
    kfa: float
    mu1: float
    mu2: float
    c1: float
    c2: float
    kappa: float


def constants_of(kinetics: Kinetics, member: int) -> Constants:
    return Constants(
        k1=float(kinetics.half_mg_l_n[0, member]),
        k2=float(kinetics.half_mg_l_n[1, member]),
        kn=float(kinetics.nitrite_half_mg_l_n[member]),
        kfa=float(kinetics.ammonia_half_mg_l_n[member]),
        mu1=float(kinetics.growth_per_d[0, member]),
        mu2=float(kinetics.growth_per_d[1, member]),
        c1=float(kinetics.limit_mg_l_d[0, member]),
        c2=float(kinetics.limit_mg_l_d[1, member]),
        kappa=float(kinetics.kappa[member]),
    )


def slope_of(k: Constants, *, temperature_c: float, salinity_g_kg: float) -> Slope:
    """Return dy/dt per day of TAN, nitrite, nitrate, alkalinity and the two capacities.

    Salinity up to 10 g/kg, where the forecast takes one per cent off the rate per g/kg.
    """
    ka = _acidity(temperature_c, salinity_g_kg)
    salt = 1.0 - 0.01 * salinity_g_kg
    f1 = salt * _warmth(temperature_c, theta=1.072, hot_c=32.5)
    f2 = salt * _warmth(temperature_c, theta=1.060, hot_c=31.5)
    decay = 0.04 * 1.06 ** (temperature_c - 25.0)

    def slope(_t_d: float, y: State) -> list[float]:
        n1, n2, _n3, alk, x1, x2 = y
        acid = k.kappa / (alk + 0.001)
        ammonia = n1 * ka / (ka + acid)
        nitrous = n2 * acid / (acid + 10**4.7)
        fp = 1.0 / (1.0 + acid / 10**1.6 + 10**-1.4 / acid)
        g1 = f1 * fp * n1 / (k.k1 + n1) / (1.0 + n2 / k.kn) * alk / (alk + 0.15)
        g2 = f2 * fp * n2 / (k.k2 + n2) / (1.0 + n2 / k.kn + ammonia / k.kfa + nitrous / 0.05)
        r1, r2 = x1 * g1, x2 * g2
        return [
            -r1,
            r1 - r2,
            r2,
            -_MEQ_PER_MG_N * r1,
            x1 * (k.mu1 * g1 * (1.0 - x1 / k.c1) - decay),
            x2 * (k.mu2 * g2 * (1.0 - x2 / k.c2) - decay),
        ]

    return slope


def solved(slope: Slope, start: State, *, days: Sequence[float], rtol: float) -> Floats:
    """Return the states at ``days``, (days, 6), by LSODA.

    Raises:
        ModuleNotFoundError: SciPy is not installed.
    """
    # by name: the product runs without SciPy
    integrate: Any = importlib.import_module("scipy.integrate")
    tight = {"rtol": rtol, "atol": 0.01 * rtol}
    found = integrate.solve_ivp(slope, (0.0, days[-1]), start, method="LSODA", t_eval=days, **tight)
    return np.asarray(found.y.T)


def _warmth(temperature_c: float, *, theta: float, hot_c: float) -> float:
    top = 1.0 + math.exp((25.0 - hot_c) / 1.2)
    fall = top / (1.0 + math.exp((temperature_c - hot_c) / 1.2))
    return float(theta ** (temperature_c - 25.0) * fall)


def _acidity(temperature_c: float, salinity_g_kg: float) -> float:
    """Return ammonium's acidity in 1e-8 mol/L: Millero 1995 as in seacarb's Kn."""
    kelvin = temperature_c + 273.15
    ln_k = -6285.33 / kelvin + 0.0001635 * kelvin - 0.25444
    ln_k += (0.46532 - 123.7184 / kelvin) * math.sqrt(salinity_g_kg)
    ln_k += (-0.01992 + 3.17556 / kelvin) * salinity_g_kg
    return 1e8 * math.exp(ln_k)
