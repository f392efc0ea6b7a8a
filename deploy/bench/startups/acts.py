"""What an act written in a keeper's book does to the true water."""

import math
from collections.abc import Callable
from typing import Final

import numpy as np

from deploy.bench.startups.keepers import Habit
from deploy.bench.startups.kits import ION_PER_N
from deploy.bench.startups.records import Row
from deploy.bench.startups.states import State, Traits

_MEQ_L: Final = {"meq/L": 1.0, "dKH": 1.0 / 2.804}
_WEIGHING_ERROR: Final = 0.04
_SLEEPS_AFTER_SHOCK: Final = 0.3


def apply(
    act: Row,
    state: State,
    *,
    number: int,
    ways: Habit,
    traits: Traits,
    rng: np.random.Generator,
) -> None:
    """Change column ``number`` of ``state`` in place.

    Raises:
        KeyError: an act that no keeper can do here.
    """
    slip = math.exp(_WEIGHING_ERROR * float(rng.normal()))
    _ACTS[act["kind"]](act, state, number, ways, traits, slip)


def _nothing(_act: Row, _state: State, _number: int, _w: Habit, _t: Traits, _slip: float) -> None:
    """Seed and disinfection are in the state the start-up begins with."""


def _dose(act: Row, state: State, number: int, ways: Habit, _t: Traits, slip: float) -> None:
    rise = act["amount"] / ION_PER_N[act["basis"]]
    state.tan[number] += rise * ways.dose_scale * slip


def _buffer(act: Row, state: State, number: int, _w: Habit, _t: Traits, slip: float) -> None:
    """Add bicarbonate: one mol of inorganic carbon comes with each equivalent."""
    rise = act["amount"] * _MEQ_L[act["unit"]] * slip
    state.alkalinity_meq_l[number] += rise
    state.dic_mmol_l[number] += rise


def _change(act: Row, state: State, number: int, ways: Habit, _t: Traits, _slip: float) -> None:
    """Mix in tap water; films stay on their surfaces, so populations and bound nitrogen stay."""
    share = act["fraction"]
    incoming = {
        "tan": act["source_tan_mg_l_n"],
        "nitrite": 0.0,
        "nitrate": ways.tap_nitrate_mg_l_n,
        "alkalinity_meq_l": ways.tap_alkalinity_meq_l,
        "dic_mmol_l": ways.tap_alkalinity_meq_l + 0.05,
    }
    for name, value in incoming.items():
        row = getattr(state, name)
        row[number] += share * (value - row[number])


def _salinity(act: Row, state: State, number: int, _w: Habit, traits: Traits, _slip: float) -> None:
    step = abs(act["salinity_ppt"] - float(state.salinity[number]))
    survives = math.exp(-step / float(traits.salt_shock_ppt[number]))
    state.salinity[number] = act["salinity_ppt"]
    for row in (state.ammonia_oxidisers, state.fast_oxidisers, state.slow_oxidisers):
        row[number] *= survives
    for row in (state.ammonia_wake, state.nitrite_wake):
        row[number] = min(float(row[number]), _SLEEPS_AFTER_SHOCK)


_ACTS: Final[dict[str, Callable[[Row, State, int, Habit, Traits, float], None]]] = {
    "inoculate": _nothing,
    "disinfection": _nothing,
    "dose_nh4cl": _dose,
    "add_alkalinity": _buffer,
    "water_change": _change,
    "salinity_change": _salinity,
}
