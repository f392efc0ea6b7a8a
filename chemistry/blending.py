"""Two waters made one, a new batch of salt water, and what evaporation does.

Salt and water are conserved by mass and turned into litres with TEOS-10 densities at one
temperature; a level by volume is conserved by litres. Only pure water evaporates.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from chemistry.constants import REFERENCE_SALINITY_PER_PRACTICAL
from chemistry.dilution import LEVEL, Unreachable
from chemistry.domain import GRAMS, LITRES, SHARE_ABOVE_ZERO, Number, Range, within
from chemistry.salinity import BRINE, SALINITY, density_kg_l, salt_share

ADDED: Final = Range(name="volume added", unit="L", low=0.0, high=1e8)
EVAPORATED: Final = Range(name="evaporated share of the water", unit="", low=0.0, high=0.9)
# Salt below this is nothing that fresh water could be said to have brought down to.
TOP_UP_TARGET: Final = Range(name="target salinity", unit="g/kg", low=0.05, high=60.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What goes into the mixing vessel: salt as weighed, moisture and all, and fresh water."""

    salt_g: float
    fresh_l: float


def mixed_level(*, level: Number, volume_l: Number, added_level: Number, added_l: Number) -> Number:
    """Return the level when ``added_l`` join ``volume_l`` and nothing leaves."""
    within(LEVEL, level=level, added_level=added_level)
    within(LITRES, volume_l=volume_l)
    within(ADDED, added_l=added_l)
    return (level * volume_l + added_level * added_l) / (volume_l + added_l)


def mixed_salinity_g_kg(
    *,
    salinity_g_kg: Number,
    volume_l: Number,
    added_g_kg: Number,
    added_l: Number,
    temperature_c: Number,
) -> Number:
    """Return the salinity when two waters of one temperature are poured together."""
    within(LITRES, volume_l=volume_l)
    within(ADDED, added_l=added_l)
    here_kg = volume_l * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    added_kg = added_l * density_kg_l(salinity_g_kg=added_g_kg, temperature_c=temperature_c)
    return (here_kg * salinity_g_kg + added_kg * added_g_kg) / (here_kg + added_kg)


def after_evaporation_g_kg(
    *, volume_l: Number, salinity_g_kg: Number, evaporated_l: Number, temperature_c: Number
) -> Number:
    """Return the salinity once ``evaporated_l`` of pure water have gone and the salt stayed.

    Raises:
        OutOfRange: more than nine tenths would be gone, or brine above 60 g/kg be left.
    """
    within(LITRES, volume_l=volume_l)
    within(ADDED, evaporated_l=evaporated_l)
    here_kg = volume_l * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    gone = evaporated_l * _pure_kg_l(temperature_c) / here_kg
    within(EVAPORATED, evaporated_l=gone)
    after = salinity_g_kg / (1 - gone)
    within(BRINE, evaporated_l=after)
    return after


def top_up_l(
    *, volume_l: Number, salinity_g_kg: Number, target_g_kg: Number, temperature_c: Number
) -> Number:
    """Return litres of fresh water to add, taking none out, to come down to the target.

    Raises:
        Unreachable: the water is fresher than the target already.
    """
    within(LITRES, volume_l=volume_l)
    within(TOP_UP_TARGET, target_g_kg=target_g_kg)
    if np.any(target_g_kg > salinity_g_kg):
        raise Unreachable("The water is fresher than the target: fresh water cannot lift it.")
    here_kg = volume_l * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    return here_kg * (salinity_g_kg / target_g_kg - 1) / _pure_kg_l(temperature_c)


def batch(
    *, volume_l: float, salinity_g_kg: float, temperature_c: float, purity: float = 1.0
) -> Batch:
    """Return salt and fresh water for ``volume_l`` of salt water *when mixed*.

    ``purity`` is the sea salt in a gram of the mix as weighed; the rest is taken for water.
    """
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    mixed_kg = volume_l * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    weighed_kg = mixed_kg * salt_share(salinity_g_kg) / purity
    fresh_l = (mixed_kg - weighed_kg) / _pure_kg_l(temperature_c)
    within(ADDED, purity=fresh_l)
    return Batch(salt_g=1000 * weighed_kg, fresh_l=fresh_l)


def batch_salinity_g_kg(
    *, salt_g: Number, fresh_l: Number, temperature_c: Number, purity: float = 1.0
) -> Number:
    """Return the salinity of so much mix in so much fresh water: the inverse of ``batch``.

    Raises:
        OutOfRange: it would come out above 42 g/kg.
    """
    within(GRAMS, salt_g=salt_g)
    within(LITRES, fresh_l=fresh_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    mixed_kg = salt_g / 1000 + fresh_l * _pure_kg_l(temperature_c)
    salinity_g_kg = salt_g * purity / mixed_kg / REFERENCE_SALINITY_PER_PRACTICAL
    within(SALINITY, salt_g=salinity_g_kg)
    return salinity_g_kg


def _pure_kg_l(temperature_c: Number) -> Number:
    return density_kg_l(salinity_g_kg=0 * temperature_c, temperature_c=temperature_c)
