"""Hourly water temperature: a thermostat, the day, the weather of the room, a heater that fails."""

from typing import Final

import numpy as np

from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.scenarios import Setting

_LONG_ENOUGH_H: Final = 1900
_COOLING_H: Final = 14.0


def temperatures_c(setting: Setting, *, rng: np.random.Generator) -> Floats:
    hours = np.arange(_LONG_ENOUGH_H, dtype=np.float64)
    swing_c, phase_h = rng.uniform(0.1, 0.8), rng.uniform(12.0, 18.0)
    day = swing_c * np.cos(2.0 * np.pi * (hours - phase_h) / 24.0)
    offset_c = rng.normal(0.0, 0.4)
    held = setting.temperature_setpoint_c + offset_c + day + _weather(rng)
    if setting.scenario != "heater_fail":
        return held
    return held - (held - rng.uniform(17.0, 20.0)) * _off(rng)


def _weather(rng: np.random.Generator) -> Floats:
    """Return slow noise: an autoregression with two days' memory and 0.3 °C spread."""
    keeps = np.exp(-1.0 / 48.0)
    shocks = rng.normal(0.0, 0.3 * np.sqrt(1.0 - keeps**2), _LONG_ENOUGH_H)
    found = np.empty(_LONG_ENOUGH_H)
    last = 0.0
    for hour, shock in enumerate(shocks):
        last = keeps * last + shock
        found[hour] = last
    return found


def _off(rng: np.random.Generator) -> Floats:
    """Return how far the water has cooled to its room, 0 to 1, over one or two failures."""
    target = np.zeros(_LONG_ENOUGH_H)
    for _ in range(int(rng.integers(1, 3))):
        begins_h = int(rng.uniform(36.0, 300.0))
        target[begins_h : begins_h + int(rng.uniform(24.0, 110.0))] = 1.0
    found = np.empty(_LONG_ENOUGH_H)
    cooled = 0.0
    for hour, aim in enumerate(target):
        cooled += (aim - cooled) / _COOLING_H
        found[hour] = cooled
    return found
