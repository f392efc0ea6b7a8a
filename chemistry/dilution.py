"""What exchanging water does to anything that is only diluted; floats or arrays.

Mass balance of a well-mixed water whose volume comes back to where it was. A *level* is any
one concentration in any one unit, the same throughout a call. Salinity is per kilogram and
saltier water is heavier, so salinity has functions of its own: at 35 → 14 the plain volume
fraction of 60 % falls short by 0.6 points.
"""

import math
from typing import Final

import numpy as np

from chemistry.domain import LITRES, SHARE, SHARE_ABOVE_ZERO, Number, Range, within
from chemistry.salinity import density_kg_l, salt_share

FRACTION: Final = Range(name="exchanged share", unit="", low=0.001, high=0.999)
LEVEL: Final = Range(name="level", unit="", low=-1e9, high=1e9)
TIMES: Final = Range(name="number of changes", unit="", low=0, high=10_000)


class Unreachable(ValueError):  # noqa: N818 - the house names refusals by what is so
    """What is to be added can never bring the water to the level that is wanted."""


def after_change(*, level: Number, source_level: Number, fraction: Number) -> Number:
    """Return the level after exchanging ``fraction`` of the volume for source water."""
    within(LEVEL, level=level, source_level=source_level)
    within(SHARE, fraction=fraction)
    return level + fraction * (source_level - level)


def after_changes(
    *, level: Number, source_level: Number, fraction: Number, times: int | Number
) -> Number:
    """Return the level after the same change ``times`` over, fully mixed between."""
    within(LEVEL, level=level, source_level=source_level)
    within(SHARE, fraction=fraction)
    within(TIMES, times=times)
    left: Number = (1 - fraction) ** times
    return source_level + (level - source_level) * left


def fraction_to_reach(*, level: Number, source_level: Number, target_level: Number) -> Number:
    """Return the share to exchange at once; 0 where the level is the target already.

    Raises:
        Unreachable: a target is not between the level and the source's.
    """
    check_between(level, source_level, target_level)
    return _ratio(level - target_level, level - source_level)


def changes_to_reach(
    *, level: float, source_level: float, target_level: float, fraction: float
) -> int:
    """Return how many equal changes bring the level to the target or past it.

    Raises:
        Unreachable: the target is not between the level and the source's, or *is* the source's.
    """
    within(FRACTION, fraction=fraction)
    check_between(level, source_level, target_level)
    if target_level == level:
        return 0
    check_before_source(source_level, target_level)
    left = (target_level - source_level) / (level - source_level)
    # A hair of tolerance, or 0.5 ** 3 = 0.125 would sometimes ask for a fourth change.
    return math.ceil(math.log(left) / math.log(1 - fraction) - 1e-9)


def salinity_exchange_l(
    *,
    volume_l: Number,
    salinity_g_kg: Number,
    target_g_kg: Number,
    source_g_kg: Number,
    temperature_c: Number,
) -> Number:
    """Return litres to drain and replace with source water (fresh, or brine) as warm as the tank.

    Raises:
        Unreachable: a target is not between the two salinities.
    """
    within(LITRES, volume_l=volume_l)
    check_between(salinity_g_kg, source_g_kg, target_g_kg)
    here_kg_l = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    source_kg_l = density_kg_l(salinity_g_kg=source_g_kg, temperature_c=temperature_c)
    to_lose = here_kg_l * (salinity_g_kg - target_g_kg)
    to_gain = source_kg_l * (target_g_kg - source_g_kg)
    return volume_l * _ratio(to_lose, to_lose + to_gain)


def salt_g(
    *,
    volume_l: Number,
    salinity_g_kg: Number,
    target_g_kg: Number,
    temperature_c: Number,
    purity: float = 1.0,
) -> Number:
    """Return grams of dry sea salt to dissolve in ``volume_l``; ``purity`` allows for moisture.

    The water stays and swells by about 0.03 % per g/kg. Never into a tank that holds animals.

    Raises:
        Unreachable: the target is below the present salinity.
    """
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    _check_upwards(salinity_g_kg, target_g_kg)
    here_kg_l = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    density_kg_l(salinity_g_kg=target_g_kg, temperature_c=temperature_c)  # refuses brine
    water_kg = volume_l * here_kg_l * (1 - salt_share(salinity_g_kg))
    more = _per_water(target_g_kg) - _per_water(salinity_g_kg)
    return 1000 * water_kg * more / purity


def check_between(level: Number, source: Number, target: Number) -> None:
    """Let every target pass that lies between the level and the source's, or refuse the first.

    Raises:
        Unreachable
    """
    within(LEVEL, level=level, source_level=source, target_level=target)
    levels, sources, targets = np.broadcast_arrays(level, source, target)
    reached = (np.minimum(levels, sources) <= targets) & (targets <= np.maximum(levels, sources))
    if not reached.all():
        here, there, wanted = (float(each[~reached].flat[0]) for each in (levels, sources, targets))
        raise Unreachable(
            f"A target of {wanted:g} cannot be reached from {here:g} "
            f"with source water of {there:g}: it must lie between the two."
        )


def check_before_source(source: Number, target: Number) -> None:
    """Refuse a target that is the source's own level: it is approached and never met.

    Raises:
        Unreachable
    """
    sources, targets = np.broadcast_arrays(source, target)
    same = sources == targets
    if same.any():
        level = float(sources[same].flat[0])
        raise Unreachable(
            f"Partial changes come near the source water's {level:g} but never reach it."
        )


def _check_upwards(salinity: Number, target: Number) -> None:
    salinities, targets = np.broadcast_arrays(salinity, target)
    down = targets < salinities
    if down.any():
        here, wanted = (float(each[down].flat[0]) for each in (salinities, targets))
        raise Unreachable(
            f"Salt cannot lower the salinity from {here:g} to {wanted:g} g/kg: "
            "exchange water instead."
        )


def _ratio(part: Number, whole: Number) -> Number:
    """Return part/whole, and 0 where both are nought: there is nothing to do."""
    ratio: Number = part / (whole + (whole == 0))
    return ratio


def _per_water(salinity_g_kg: Number) -> Number:
    """Return kg of salt per kg of pure water."""
    return salt_share(salinity_g_kg) / (1 - salt_share(salinity_g_kg))
