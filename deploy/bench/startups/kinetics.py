"""How fast each population works and grows: the equations, and the step through time.

Deliberately not the forecast's model. Sources of the forms:

* Haldane (Andrews 1968) in both substrates: free ammonia for ammonia oxidisers, nitrite for
  nitrite oxidisers;
* two nitrite oxidisers, a fast one with high affinity constant (*Nitrobacter*-like) and a slow
  one with low (*Nitrospira*-like): K and r strategists, Schramm 1999;
* lag: Baranyi and Roberts 1994, growth times q / (1 + q), dq/dt = growth x q;
* a full filter: no logistic ceiling; diffusion makes the rate X / (1 + X / C) of the potential X
  and growth follows the nitrogen really oxidised;
* temperature: cardinal temperature model with inflection, Rosso 1993;
* pH: a Gaussian response; free ammonia and nitrous acid as Anthonisen 1976 saw them act, with
  half-rates spread as widely as Park and Bae 2009 and later work disagree;
* oxygen: 3.22 and 1.11 mg per mg N with synthesis (Gujer and Jenkins 1974), Monod, aeration;
* alkalinity: 2 equivalents per mol of ammonia oxidised, 1 per mol bound in cells, returned 1 per
  mol of nitrate lost (charge balance).

Step: exponential midpoint rule. Each pool decays exactly at a rate frozen at mid-step, what
leaves one pool enters the next, so nitrogen is conserved to rounding and nothing is negative.
"""

from typing import Final, NamedTuple

import numpy as np

from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.states import State, Traits
from deploy.bench.startups.waters import Equilibria, co2_mmol_l, equilibria, ph

STEP_H: Final = 0.25
MEQ_PER_MG_N: Final = 1.0 / 14.007
_OXYGEN_TAN: Final = 3.22
_OXYGEN_NITRITE: Final = 1.11
_OXYGEN_HALF_MG_L: Final = {"ammonia": 0.4, "fast": 1.1, "slow": 0.5}
_CARBON_HALF_MMOL_L: Final = 0.05
_COLDEST_C: Final = 3.0
_ABOVE_BEST_C: Final = 9.0
_REFERENCE_C: Final = 25.0
_WARMING_OF_DECAY: Final = 1.06
_WAKING_PER_H: Final = 1.0 / 24.0  # Baranyi's rate, near full growth at 25 °C
_AWAKE: Final = 1e6
_CO2_BY_OXYGEN: Final = 0.9  # exchange of CO2 by that of oxygen


class Conditions(NamedTuple):
    """What an hour's temperature and salinity mean for water and organisms."""

    water: Equilibria
    ammonia_speed: Floats
    nitrite_speed: Floats
    decay_per_h: Floats
    air_co2_mmol_l: Floats


class _Speeds(NamedTuple):
    """Per hour: specific removal of each pool and specific growth of each population."""

    tan: Floats
    fast: Floats
    slow: Floats
    ammonia_growth: Floats
    fast_growth: Floats
    slow_growth: Floats


def conditions(*, temperature_c: Floats, salinity: Floats, traits: Traits) -> Conditions:
    water = equilibria(temperature_c=temperature_c, salinity=salinity)
    salt = 1.0 - traits.salt_penalty * np.minimum(salinity / 35.0, 1.3)
    return Conditions(
        water=water,
        ammonia_speed=salt * _warmth(temperature_c, traits.ammonia_best_c),
        nitrite_speed=salt * _warmth(temperature_c, traits.nitrite_best_c),
        decay_per_h=traits.decay * _WARMING_OF_DECAY ** (temperature_c - _REFERENCE_C) / 24.0,
        air_co2_mmol_l=water.co2_mol_l_atm * traits.air_co2_uatm / 1e3,
    )


def step(state: State, *, traits: Traits, at: Conditions, step_h: float = STEP_H) -> State:
    """Return the state ``step_h`` hours later, by the exponential midpoint rule."""
    middle = _moved(state, state, traits=traits, at=at, step_h=step_h / 2.0)
    return _moved(state, middle, traits=traits, at=at, step_h=step_h)


def _warmth(temperature_c: Floats, best_c: Floats) -> Floats:
    """Return speed by temperature, one at 25 °C (Rosso 1993)."""
    return _cardinal(temperature_c, best_c) / _cardinal(np.asarray(_REFERENCE_C), best_c)


def _cardinal(temperature_c: Floats, best_c: Floats) -> Floats:
    low, high = _COLDEST_C, best_c + _ABOVE_BEST_C
    inside = np.clip(temperature_c, low, high)
    span = best_c - low
    below = span * (span * (inside - best_c) - (best_c - high) * (best_c + low - 2.0 * inside))
    found: Floats = (inside - high) * (inside - low) ** 2 / below
    return found


def _moved(begun: State, seen: State, *, traits: Traits, at: Conditions, step_h: float) -> State:
    """Return ``begun`` moved on by the speeds of ``seen``."""
    speeds = _speeds(seen, traits, at)
    from_tan = begun.tan * -np.expm1(-speeds.tan * step_h)
    bound = traits.bound_share * from_tan
    into_nitrite = from_tan - bound
    from_nitrite, nitrite = _drained(
        begun.nitrite, into_nitrite, (speeds.fast + speeds.slow) * step_h
    )
    lost = (begun.nitrate + from_nitrite) * -np.expm1(-traits.nitrate_loss * step_h / 24.0)
    alkalinity = begun.alkalinity_meq_l - MEQ_PER_MG_N * (2.0 * into_nitrite + bound - lost)
    state = begun._replace(
        tan=begun.tan - from_tan,
        nitrite=nitrite,
        nitrate=begun.nitrate + from_nitrite - lost,
        bound_n=begun.bound_n + bound,
        lost_n=begun.lost_n + lost,
        alkalinity_meq_l=alkalinity,
        oxygen_mg_l=_aerated(begun, seen, speeds, traits, at, step_h),
        dic_mmol_l=_breathed(begun, seen, bound, traits, at, step_h),
    )
    return _acidified(_grown(state, speeds, at, step_h), at)


def _speeds(state: State, traits: Traits, at: Conditions) -> _Speeds:
    h = 10.0**-state.ph
    free_ammonia = state.tan * at.water.ammonium / (at.water.ammonium + h)
    shared = np.exp(-0.5 * ((state.ph - traits.best_ph) / traits.ph_width) ** 2)
    shared = shared * state.dic_mmol_l / (state.dic_mmol_l + _CARBON_HALF_MMOL_L) / 24.0
    tan, ammonia = _of_ammonia(state, free_ammonia, shared * at.ammonia_speed, traits)
    fast, slow, on_fast, on_slow = _of_nitrite(
        state, free_ammonia, shared * at.nitrite_speed, traits, at
    )
    waking = state.ammonia_wake / (1.0 + state.ammonia_wake)
    late = state.nitrite_wake / (1.0 + state.nitrite_wake)
    return _Speeds(
        tan=tan,
        fast=fast,
        slow=slow,
        ammonia_growth=traits.ammonia_growth * waking * ammonia,
        fast_growth=traits.fast_growth * late * on_fast,
        slow_growth=traits.slow_growth * late * on_slow,
    )


def _of_ammonia(
    state: State, free_ammonia: Floats, speed: Floats, traits: Traits
) -> tuple[Floats, Floats]:
    """Return removal of TAN per TAN, and use per potential, each per hour."""
    below = traits.ammonia_half_mg_l + state.tan * (
        1.0 + free_ammonia / traits.ammonia_substrate_limit_mg_l
    )
    air = state.oxygen_mg_l / (state.oxygen_mg_l + _OXYGEN_HALF_MG_L["ammonia"])
    poison = 1.0 + state.nitrite / traits.nitrite_on_ammonia_half_mg_l
    per_tan = speed * air / (below * poison)
    per_tan = per_tan / (1.0 + state.ammonia_oxidisers / traits.ammonia_room)
    return state.ammonia_oxidisers * per_tan, state.tan * per_tan


def _of_nitrite(
    state: State, free_ammonia: Floats, speed: Floats, traits: Traits, at: Conditions
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return removal of nitrite per nitrite and use per potential, fast and slow, per hour."""
    h = 10.0**-state.ph
    nitrous = state.nitrite * h / (h + at.water.nitrous)
    poison = 1.0 + free_ammonia / traits.free_ammonia_half_mg_l + nitrous / traits.nitrous_half_mg_l
    crowd = 1.0 + (state.fast_oxidisers + state.slow_oxidisers) / traits.nitrite_room
    haldane = state.nitrite * (1.0 + state.nitrite / traits.nitrite_substrate_limit_mg_l)
    speed = speed / (poison * crowd)
    air = state.oxygen_mg_l
    fast = speed * air / (air + _OXYGEN_HALF_MG_L["fast"]) / (traits.fast_half_mg_l + haldane)
    slow = speed * air / (air + _OXYGEN_HALF_MG_L["slow"]) / (traits.slow_half_mg_l + haldane)
    return (
        state.fast_oxidisers * fast,
        state.slow_oxidisers * slow,
        state.nitrite * fast,
        state.nitrite * slow,
    )


def _drained(begun: Floats, inflow: Floats, leaving: Floats) -> tuple[Floats, Floats]:
    """Return what left a pool fed evenly with ``inflow`` and what stays."""
    safe = np.maximum(leaving, 1e-12)
    stays = begun * np.exp(-safe) + inflow * -np.expm1(-safe) / safe
    return begun + inflow - stays, stays


def _aerated(
    begun: State, seen: State, speeds: _Speeds, traits: Traits, at: Conditions, step_h: float
) -> Floats:
    use = _OXYGEN_TAN * seen.tan * speeds.tan
    use = use + _OXYGEN_NITRITE * seen.nitrite * (speeds.fast + speeds.slow)
    level = np.maximum(at.water.oxygen_mg_l - use / traits.aeration_per_h, 0.02)
    return level + (begun.oxygen_mg_l - level) * np.exp(-traits.aeration_per_h * step_h)


def _breathed(
    begun: State, seen: State, bound: Floats, traits: Traits, at: Conditions, step_h: float
) -> Floats:
    """Return inorganic carbon after exchange with the air and 5.7 mol taken per mol N bound."""
    co2 = co2_mmol_l(dic_mmol_l=seen.dic_mmol_l, ph=seen.ph, at=at.water)
    gained = _CO2_BY_OXYGEN * traits.aeration_per_h * (at.air_co2_mmol_l - co2) * step_h
    return np.maximum(begun.dic_mmol_l + gained - 5.7 * bound * MEQ_PER_MG_N, 1e-4)


def _grown(state: State, speeds: _Speeds, at: Conditions, step_h: float) -> State:
    dies = at.decay_per_h
    woken = np.exp(_WAKING_PER_H * at.ammonia_speed * step_h)
    return state._replace(
        ammonia_oxidisers=state.ammonia_oxidisers * np.exp((speeds.ammonia_growth - dies) * step_h),
        fast_oxidisers=state.fast_oxidisers * np.exp((speeds.fast_growth - dies) * step_h),
        slow_oxidisers=state.slow_oxidisers * np.exp((speeds.slow_growth - dies) * step_h),
        ammonia_wake=np.minimum(state.ammonia_wake * woken, _AWAKE),
        nitrite_wake=np.minimum(state.nitrite_wake * woken, _AWAKE),
    )


def _acidified(state: State, at: Conditions) -> State:
    return state._replace(
        ph=ph(
            alkalinity_meq_l=state.alkalinity_meq_l,
            dic_mmol_l=state.dic_mmol_l,
            tan_mg_l_n=state.tan,
            at=at.water,
            near=state.ph,
        )
    )
