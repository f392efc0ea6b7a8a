"""How much of total ammonia is un-ionised: the fit chosen by salinity and pH scale, and named.

Fits and their sources: ``ammonium``. Scale-consistent fits still differ by about 14 % on NBS
pH and 4 % on the total scale.
"""

from dataclasses import dataclass
from typing import Any, Final, Generic

import numpy as np

from chemistry.ammonium import (
    PH,
    SALINITY,
    clegg_whitfield_fraction,
    emerson_fraction,
    epa_1989_fraction,
    yao_millero_fraction,
)
from chemistry.domain import CONCENTRATION, Floats, Number, within
from chemistry.ph_scales import SALINITY as NBS_SALINITY
from chemistry.ph_scales import TEMPERATURE as NBS_TEMPERATURE
from chemistry.ph_scales import PhScale, to_total, total_from_nbs

FRESH_UP_TO_G_KG: Final = 0.5
METHOD_SPREAD: Final = 0.14

EMERSON: Final = "Emerson et al. 1975"
EPA_1989: Final = "US EPA 1989"
CLEGG_WHITFIELD: Final = "Clegg & Whitfield 1995"
YAO_MILLERO: Final = "Yao & Millero 1995"
SALT_METHODS: Final = {
    PhScale.NBS: EPA_1989,
    PhScale.TOTAL: CLEGG_WHITFIELD,
    PhScale.SEAWATER: YAO_MILLERO,
    PhScale.FREE: CLEGG_WHITFIELD,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unionised(Generic[Number]):
    """The share of total ammonia present as NH₃ (0 to 1), by which method, with what caution."""

    fraction: Number
    method: str
    note: str


def unionised(
    *, ph: Number, temperature_c: Number, salinity_g_kg: Number, ph_scale: PhScale
) -> Unionised[Number]:
    """Choose the method by salinity and pH scale, and say so; arrays may mix fresh and salt.

    Raises:
        OutOfRange: outside the chosen method's range, or pH 4-11, or salinity 0-40.
    """
    within(SALINITY, salinity_g_kg=salinity_g_kg)
    is_fresh = np.less_equal(salinity_g_kg, FRESH_UP_TO_G_KG)
    if np.all(is_fresh):
        fraction = emerson_fraction(ph=ph, temperature_c=temperature_c)
        return Unionised(fraction=fraction, method=EMERSON, note=_FRESH[ph_scale])
    if not np.any(is_fresh):
        return _salt(ph, temperature_c, salinity_g_kg, ph_scale)
    # Only an array can hold both, and then the answer is one.
    broadcast_ph, broadcast_c, broadcast_g_kg = np.broadcast_arrays(
        ph, temperature_c, salinity_g_kg
    )
    mixed: Unionised[Any] = _mixed(broadcast_ph, broadcast_c, broadcast_g_kg, ph_scale)
    return mixed


def unionised_mg_l_n(*, tan_mg_l_n: Number, fraction: Number) -> Number:
    """Return NH₃ as N; the fraction multiplies total ammonia in whatever basis it is in."""
    within(CONCENTRATION, tan_mg_l_n=tan_mg_l_n)
    return tan_mg_l_n * fraction


_FRESH_ON_ANOTHER: Final = "Fresh water; the difference between pH scales is left out."
_FRESH: Final = dict.fromkeys(PhScale, _FRESH_ON_ANOTHER) | {PhScale.NBS: "Fresh water, on NBS pH."}
_SALT: Final = {
    PhScale.NBS: f"Salt water, on NBS pH; methods differ by up to {METHOD_SPREAD:.0%}.",
    PhScale.TOTAL: "Salt water, on total-scale pH; methods differ by about 4 %.",
    PhScale.SEAWATER: "Salt water, on sea-water-scale pH; methods differ by about 4 %.",
    PhScale.FREE: "Salt water, free-scale pH turned to total; methods differ by about 4 %.",
}


def _salt(
    ph: Number, temperature_c: Number, salinity_g_kg: Number, ph_scale: PhScale
) -> Unionised[Number]:
    fraction = _salt_fraction(ph, temperature_c, salinity_g_kg, ph_scale)
    note = _SALT[ph_scale]
    if ph_scale is PhScale.NBS and np.ndim(fraction) == 0:
        note = _on_nbs(float(fraction), float(ph), float(temperature_c), float(salinity_g_kg))
    return Unionised(fraction=fraction, method=SALT_METHODS[ph_scale], note=note)


def _salt_fraction(
    ph: Number, temperature_c: Number, salinity_g_kg: Number, ph_scale: PhScale
) -> Number:
    if ph_scale is PhScale.NBS:
        return epa_1989_fraction(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    if ph_scale is PhScale.SEAWATER:
        return yao_millero_fraction(
            ph_seawater=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
        )
    ph_total = to_total(
        ph, scale=ph_scale, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
    )
    return clegg_whitfield_fraction(
        ph_total=ph_total, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
    )


def _mixed(
    ph: Floats, temperature_c: Floats, salinity_g_kg: Floats, ph_scale: PhScale
) -> Unionised[Floats]:
    is_fresh = salinity_g_kg.ravel() <= FRESH_UP_TO_G_KG
    fresh, salt = np.flatnonzero(is_fresh), np.flatnonzero(~is_fresh)
    fraction = np.empty(salinity_g_kg.shape)
    fraction.flat[fresh] = emerson_fraction(
        ph=ph.take(fresh), temperature_c=temperature_c.take(fresh)
    )
    fraction.flat[salt] = _salt_fraction(
        ph.take(salt), temperature_c.take(salt), salinity_g_kg.take(salt), ph_scale
    )
    return Unionised(
        fraction=fraction,
        method=f"{EMERSON} up to {FRESH_UP_TO_G_KG:g} g/kg, {SALT_METHODS[ph_scale]} above",
        note=_SALT[ph_scale],
    )


def _on_nbs(fraction: float, ph: float, temperature_c: float, salinity_g_kg: float) -> str:
    """Say how far the other scale-consistent method lies, where the pH can be converted."""
    if salinity_g_kg not in NBS_SALINITY or temperature_c not in NBS_TEMPERATURE:
        return _SALT[PhScale.NBS]
    ph_total = total_from_nbs(ph_nbs=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    if ph_total not in PH:
        return _SALT[PhScale.NBS]
    other = clegg_whitfield_fraction(
        ph_total=ph_total, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg
    )
    gap = other / fraction - 1
    return f"Salt water, on NBS pH; Clegg & Whitfield 1995 on converted pH gives {gap:+.0%}."
