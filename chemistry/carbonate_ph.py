"""The pH a keeper reads, on the scale that the carbonate constants of the water count in.

Fresh water: NBS; other scales are taken as they are, the difference being less than a meter's.
Sea water: total. NBS readings are converted by ``ph_scales`` from salinity 20 up; between 1 and
20 no published conversion is known to us, and the gap at 20 is shrunk with the root of salinity
(an interpolation of our own, ±0.05 pH).
"""

from typing import Final

import numpy as np

from chemistry.carbonate_constants import FRESH_BELOW_G_KG, Water
from chemistry.domain import Number, plain
from chemistry.elementary import greatest, root
from chemistry.ph_scales import SALINITY as NBS_SALINITY
from chemistry.ph_scales import PhScale, above_total

INTERPOLATED: Final = (
    "Between salinity 1 and 20 an NBS reading is turned into total pH by interpolation: ±0.05 pH."
)


def to_constants(water: Water[Number], ph: Number, *, scale: PhScale) -> Number:
    """Return a reading on the scale of the water's constants."""
    return ph - _above_constants(water, scale)


def from_constants(water: Water[Number], ph: Number, *, scale: PhScale) -> Number:
    """Return a computed pH as a meter on ``scale`` would show it."""
    return ph + _above_constants(water, scale)


def is_interpolated(water: Water[Number], *, scale: PhScale) -> bool:
    """Return whether any of the waters lies where the conversion is our own."""
    salinity = water.salinity_g_kg
    between = np.greater_equal(salinity, FRESH_BELOW_G_KG) & np.less(salinity, NBS_SALINITY.low)
    return scale is PhScale.NBS and bool(np.any(between))


def _above_constants(water: Water[Number], scale: PhScale) -> Number:
    if scale is PhScale.TOTAL:
        return 0 * water.salinity_g_kg
    is_salt: Number = plain(1.0 * np.greater_equal(water.salinity_g_kg, FRESH_BELOW_G_KG))
    if scale is not PhScale.NBS:
        return is_salt * _above(scale, water.temperature_c, water.salinity_g_kg)
    fitted = greatest(water.salinity_g_kg, NBS_SALINITY.low)
    shrunk = root(water.salinity_g_kg / fitted)
    return is_salt * shrunk * _above(scale, water.temperature_c, fitted)


def _above(scale: PhScale, temperature_c: Number, salinity_g_kg: Number) -> Number:
    return above_total(scale, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
