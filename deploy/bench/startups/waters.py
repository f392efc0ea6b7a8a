"""What temperature and salinity make of a water: equilibria, solubilities and oxygen.

Constants in mol/L (the difference from mol/kg is far below kit error), on the seawater scale:

* carbonic acid K1, K2: Millero 2010, Mar. Freshw. Res. 61, 139 (0-50 °C, S 1-50; its S = 0 part
  is used for fresh water);
* boric acid: Dickson 1990, Deep-Sea Res. 37, 755; total boron 0.0004157 mol/kg at S 35 (Uppström
  1974);
* water: Millero 1995, Geochim. Cosmochim. Acta 59, 661;
* ammonium: Millero 1995, as printed in seacarb ``Kn.R``;
* nitrous acid: Anthonisen 1976, K = exp(-2300 / (273 + T));
* carbon dioxide solubility: Weiss 1974, Mar. Chem. 2, 203;
* oxygen saturation: Garcia and Gordon 1992 in TEOS-10's ``gsw``.

All coefficients but ammonium are from memory; the tests hold them against PyCO2SYS.
"""

from typing import Final, NamedTuple

import gsw
import numpy as np

from deploy.bench.startups.arrays import Floats

_ZERO_C_IN_K: Final = 273.15
_BORON_MOL_KG_AT_35: Final = 0.0004157
_O2_MG_PER_UMOL: Final = 31.998e-3
_STANDARD_SALINITY: Final = 35.0


class Equilibria(NamedTuple):
    """Dissociation constants, mol/L, total boron, mol/L, and saturation values."""

    carbonic_1: Floats
    carbonic_2: Floats
    water: Floats
    boric: Floats
    boron: Floats
    ammonium: Floats
    nitrous: Floats
    co2_mol_l_atm: Floats
    oxygen_mg_l: Floats


def equilibria(*, temperature_c: Floats, salinity: Floats) -> Equilibria:
    temperature_k = temperature_c + _ZERO_C_IN_K
    carbonic_1, carbonic_2 = _carbonic(temperature_k, salinity)
    return Equilibria(
        carbonic_1=carbonic_1,
        carbonic_2=carbonic_2,
        water=_water(temperature_k, salinity),
        boric=_boric(temperature_k, salinity),
        boron=_BORON_MOL_KG_AT_35 * salinity / _STANDARD_SALINITY,
        ammonium=_ammonium(temperature_k, salinity),
        nitrous=np.exp(-2300.0 / (temperature_c + 273.0)),
        co2_mol_l_atm=_co2(temperature_k, salinity),
        oxygen_mg_l=np.asarray(gsw.O2sol_SP_pt(salinity, temperature_c)) * _O2_MG_PER_UMOL,
    )


def ph(
    *,
    alkalinity_meq_l: Floats,
    dic_mmol_l: Floats,
    tan_mg_l_n: Floats,
    at: Equilibria,
    near: Floats,
) -> Floats:
    """Return pH by Newton's method on the alkalinity balance, begun ``near`` a former pH."""
    alkalinity, dic, tan = alkalinity_meq_l / 1e3, dic_mmol_l / 1e3, tan_mg_l_n / 14007.0
    found = near
    for _ in range(3):
        balance, slope = _balance(10.0**-found, alkalinity, dic, tan, at)
        found = np.clip(found + np.clip(balance / slope, -0.5, 0.5), 3.0, 11.0)
    return found


def co2_mmol_l(*, dic_mmol_l: Floats, ph: Floats, at: Equilibria) -> Floats:
    h = 10.0**-ph
    k12 = at.carbonic_1 * at.carbonic_2
    return dic_mmol_l * h * h / (h * h + at.carbonic_1 * h + k12)


def equilibrium_dic_mmol_l(
    *, alkalinity_meq_l: Floats, co2_mmol_l: Floats, at: Equilibria
) -> Floats:
    """Return the inorganic carbon of a water that stood under its air, by bisection on pH."""
    low, high = np.full_like(co2_mmol_l, 3.0), np.full_like(co2_mmol_l, 11.0)
    for _ in range(50):
        middle = 0.5 * (low + high)
        held = _carbon(10.0**-middle, co2_mmol_l, at)
        missing, _slope = _balance(
            10.0**-middle, alkalinity_meq_l / 1e3, held / 1e3, np.zeros_like(held), at
        )
        low, high = np.where(missing > 0, middle, low), np.where(missing > 0, high, middle)
    return _carbon(10.0**-low, co2_mmol_l, at)


def _carbon(h: Floats, co2_mmol_l: Floats, at: Equilibria) -> Floats:
    return co2_mmol_l * (1.0 + at.carbonic_1 / h + at.carbonic_1 * at.carbonic_2 / (h * h))


def _balance(
    h: Floats, alkalinity: Floats, dic: Floats, tan: Floats, at: Equilibria
) -> tuple[Floats, Floats]:
    """Return what is missing of the alkalinity at ``h``, and its slope by pH."""
    k1, k12 = at.carbonic_1, at.carbonic_1 * at.carbonic_2
    below = h * h + k1 * h + k12
    carbonate = dic * (k1 * h + 2.0 * k12) / below
    borate = at.boron * at.boric / (at.boric + h)
    ammonia = tan * at.ammonium / (at.ammonium + h)
    hydroxide = at.water / h
    slope = 2.302585 * (
        dic * k1 * h * (h * h + 4.0 * at.carbonic_2 * h + k12) / (below * below)
        + borate * h / (at.boric + h)
        + ammonia * h / (at.ammonium + h)
        + hydroxide
        + h
    )
    return alkalinity - (carbonate + borate + ammonia + hydroxide - h), slope


def _carbonic(temperature_k: Floats, salinity: Floats) -> tuple[Floats, Floats]:
    log_t, root = np.log(temperature_k), np.sqrt(salinity)
    pk1 = (
        (-126.34048 + 6320.813 / temperature_k + 19.568224 * log_t)
        + (13.4038 * root + 0.03206 * salinity - 5.242e-5 * salinity**2)
        + (-530.659 * root - 5.8210 * salinity) / temperature_k
        - 2.0664 * root * log_t
    )
    pk2 = (
        (-90.18333 + 5143.692 / temperature_k + 14.613358 * log_t)
        + (21.3728 * root + 0.1218 * salinity - 3.688e-4 * salinity**2)
        + (-788.289 * root - 19.189 * salinity) / temperature_k
        - 3.374 * root * log_t
    )
    return 10.0**-pk1, 10.0**-pk2


def _water(temperature_k: Floats, salinity: Floats) -> Floats:
    log_t = np.log(temperature_k)
    found: Floats = np.exp(
        148.9802
        - 13847.26 / temperature_k
        - 23.6521 * log_t
        + (-5.977 + 118.67 / temperature_k + 1.0495 * log_t) * np.sqrt(salinity)
        - 0.01615 * salinity
    )
    return found


def _boric(temperature_k: Floats, salinity: Floats) -> Floats:
    root = np.sqrt(salinity)
    over_t = (
        -8966.90 - 2890.53 * root - 77.942 * salinity + 1.728 * salinity * root
    ) - 0.0996 * salinity**2
    found: Floats = np.exp(
        over_t / temperature_k
        + (148.0248 + 137.1942 * root + 1.62142 * salinity)
        - (24.4344 + 25.085 * root + 0.2474 * salinity) * np.log(temperature_k)
        + 0.053105 * root * temperature_k
    )
    return found


def _ammonium(temperature_k: Floats, salinity: Floats) -> Floats:
    found: Floats = np.exp(
        -6285.33 / temperature_k
        + 0.0001635 * temperature_k
        - 0.25444
        + (0.46532 - 123.7184 / temperature_k) * np.sqrt(salinity)
        + (-0.01992 + 3.17556 / temperature_k) * salinity
    )
    return found


def _co2(temperature_k: Floats, salinity: Floats) -> Floats:
    hundredth = temperature_k / 100.0
    found: Floats = np.exp(
        -58.0931
        + 90.5069 / hundredth
        + 22.2940 * np.log(hundredth)
        + salinity * (0.027766 - 0.025888 * hundredth + 0.0050578 * hundredth**2)
    )
    return found
