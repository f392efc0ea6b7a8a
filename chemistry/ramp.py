"""A salinity or temperature brought to its stocking value in equal steps, one a day.

How far a day may go is the keeper's policy and comes in as an argument: sources conflict.
Common practice, no source: without animals salinity at any rate, temperature 1-2 °C a day.
"""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from chemistry.dilution import salinity_exchange_l, salt_g
from chemistry.domain import Range, within

STEP_G_KG: Final = Range(name="salinity step a day", unit="g/kg", low=0.1, high=60.0)
STEP_C: Final = Range(name="temperature step a day", unit="°C", low=0.1, high=40.0)
TEMPERATURE: Final = Range(name="temperature", unit="°C", low=-2.0, high=40.0)
SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.0, high=42.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class SalinityStep:
    """One day's step: either salt to dissolve or litres to exchange; the other is zero."""

    day: int
    target_g_kg: float
    salt_g: float = 0.0
    exchange_l: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureStep:
    day: int
    target_c: float


def salt_ramp(
    *,
    volume_l: float,
    salinity_g_kg: float,
    target_g_kg: float,
    step_g_kg: float,
    temperature_c: float,
    purity: float = 1.0,
) -> tuple[SalinityStep, ...]:
    """Return daily weights of dry salt that lift the salinity.

    Raises:
        Unreachable: the target is lower; salt cannot be taken out.
    """
    starts = _levels(salinity_g_kg, target_g_kg, step_g_kg)
    return tuple(
        SalinityStep(
            day=day,
            target_g_kg=target,
            salt_g=salt_g(
                volume_l=volume_l,
                salinity_g_kg=start,
                target_g_kg=target,
                temperature_c=temperature_c,
                purity=purity,
            ),
        )
        for day, (start, target) in enumerate(starts, start=1)
    )


def exchange_ramp(
    *,
    volume_l: float,
    salinity_g_kg: float,
    target_g_kg: float,
    step_g_kg: float,
    source_g_kg: float,
    temperature_c: float,
) -> tuple[SalinityStep, ...]:
    """Return daily litres to exchange for source water: fresh to go down, brine to go up.

    Raises:
        Unreachable: the source water lies on the wrong side of the target.
    """
    starts = _levels(salinity_g_kg, target_g_kg, step_g_kg)
    return tuple(
        SalinityStep(
            day=day,
            target_g_kg=target,
            exchange_l=salinity_exchange_l(
                volume_l=volume_l,
                salinity_g_kg=start,
                target_g_kg=target,
                source_g_kg=source_g_kg,
                temperature_c=temperature_c,
            ),
        )
        for day, (start, target) in enumerate(starts, start=1)
    )


def temperature_ramp(
    *, temperature_c: float, target_c: float, step_c: float
) -> tuple[TemperatureStep, ...]:
    """Return daily set points from here to the target."""
    within(TEMPERATURE, temperature_c=temperature_c, target_c=target_c)
    within(STEP_C, step_c=step_c)
    steps = _even_steps(temperature_c, target_c, step_c)
    return tuple(
        TemperatureStep(day=day, target_c=target) for day, (_, target) in enumerate(steps, start=1)
    )


def _levels(
    salinity_g_kg: float, target_g_kg: float, step_g_kg: float
) -> list[tuple[float, float]]:
    within(SALINITY, salinity_g_kg=salinity_g_kg, target_g_kg=target_g_kg)
    within(STEP_G_KG, step_g_kg=step_g_kg)
    return _even_steps(salinity_g_kg, target_g_kg, step_g_kg)


def _even_steps(start: float, end: float, longest: float) -> list[tuple[float, float]]:
    """Return (from, to) of as few equal steps as keep within ``longest``, ending exactly."""
    # A hair of tolerance, so that 17 in steps of 1.7 is ten steps and not eleven.
    count = math.ceil(abs(end - start) / longest - 1e-9)
    marks = [start + (end - start) * step / count for step in range(count)] + [end]
    return list(pairwise(marks)) if count else []
