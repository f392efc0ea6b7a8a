"""What exchanging water does to anything that is only diluted.

Mass balance of a well-mixed water whose volume comes back to where it was. A *level* is any
one concentration in any one unit, the same throughout a call. Salinity is per kilogram and
saltier water is heavier, so salinity has functions of its own: at 35 → 14 the plain volume
fraction of 60 % falls short by 0.6 points.
"""

import math
from typing import Final

from chemistry.constants import REFERENCE_SALINITY_PER_PRACTICAL
from chemistry.domain import LITRES, SHARE, SHARE_ABOVE_ZERO, Range, within
from chemistry.salinity import density_kg_l

FRACTION: Final = Range(name="exchanged share", unit="", low=0.001, high=0.999)
TIMES: Final = Range(name="number of changes", unit="", low=0, high=10_000)


class Unreachable(ValueError):  # noqa: N818 - the house names refusals by what is so
    """What is to be added can never bring the water to the level that is wanted."""


def after_change(*, level: float, source_level: float, fraction: float) -> float:
    """Return the level after exchanging ``fraction`` of the volume for source water."""
    within(SHARE, fraction=fraction)
    return level + fraction * (source_level - level)


def after_changes(*, level: float, source_level: float, fraction: float, times: int) -> float:
    """Return the level after the same change ``times`` over, fully mixed between."""
    within(SHARE, fraction=fraction)
    within(TIMES, times=times)
    return float(source_level + (level - source_level) * (1 - fraction) ** times)


def fraction_to_reach(*, level: float, source_level: float, target_level: float) -> float:
    """Return the share to exchange at once.

    Raises:
        Unreachable: the target is not between the level and the source's.
    """
    _check_between(level, source_level, target_level)
    if target_level == level:
        return 0.0
    return (level - target_level) / (level - source_level)


def changes_to_reach(
    *, level: float, source_level: float, target_level: float, fraction: float
) -> int:
    """Return how many equal changes bring the level to the target or past it.

    Raises:
        Unreachable: the target is not between the level and the source's, or *is* the source's.
    """
    within(FRACTION, fraction=fraction)
    _check_between(level, source_level, target_level)
    if target_level == level:
        return 0
    if target_level == source_level:
        raise Unreachable(
            f"Partial changes come near the source water's {source_level:g} but never reach it."
        )
    left = (target_level - source_level) / (level - source_level)
    # A hair of tolerance, or 0.5 ** 3 = 0.125 would sometimes ask for a fourth change.
    return math.ceil(math.log(left) / math.log(1 - fraction) - 1e-9)


def salinity_exchange_l(
    *,
    volume_l: float,
    salinity_g_kg: float,
    target_g_kg: float,
    source_g_kg: float,
    temperature_c: float,
) -> float:
    """Return litres to drain and replace with source water (fresh, or brine) as warm as the tank.

    Raises:
        Unreachable: the target is not between the two salinities.
    """
    within(LITRES, volume_l=volume_l)
    _check_between(salinity_g_kg, source_g_kg, target_g_kg)
    if target_g_kg == salinity_g_kg:
        return 0.0
    here_kg_l = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    source_kg_l = density_kg_l(salinity_g_kg=source_g_kg, temperature_c=temperature_c)
    to_lose = here_kg_l * (salinity_g_kg - target_g_kg)
    to_gain = source_kg_l * (target_g_kg - source_g_kg)
    return volume_l * to_lose / (to_lose + to_gain)


def salt_g(
    *,
    volume_l: float,
    salinity_g_kg: float,
    target_g_kg: float,
    temperature_c: float,
    purity: float = 1.0,
) -> float:
    """Return grams of dry sea salt to dissolve in ``volume_l``; ``purity`` allows for moisture.

    The water stays and swells by about 0.03 % per g/kg. Never into a tank that holds animals.

    Raises:
        Unreachable: the target is below the present salinity.
    """
    within(LITRES, volume_l=volume_l)
    within(SHARE_ABOVE_ZERO, purity=purity)
    if target_g_kg < salinity_g_kg:
        raise Unreachable(
            f"Salt cannot lower the salinity from {salinity_g_kg:g} to {target_g_kg:g} g/kg: "
            "exchange water instead."
        )
    here_kg_l = density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)
    density_kg_l(salinity_g_kg=target_g_kg, temperature_c=temperature_c)  # refuses brine
    water_kg = volume_l * here_kg_l * (1 - _salt_share(salinity_g_kg))
    more = _per_water(target_g_kg) - _per_water(salinity_g_kg)
    return 1000 * water_kg * more / purity


def _check_between(level: float, source: float, target: float) -> None:
    if not min(level, source) <= target <= max(level, source):
        raise Unreachable(
            f"A target of {target:g} cannot be reached from {level:g} "
            f"with source water of {source:g}: it must lie between the two."
        )


def _salt_share(salinity_g_kg: float) -> float:
    return salinity_g_kg * REFERENCE_SALINITY_PER_PRACTICAL / 1000


def _per_water(salinity_g_kg: float) -> float:
    """Return kg of salt per kg of pure water."""
    return _salt_share(salinity_g_kg) / (1 - _salt_share(salinity_g_kg))
