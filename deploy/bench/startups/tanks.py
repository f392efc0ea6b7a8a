"""The run: many start-ups at once through seventy-five days of chemistry and keepers' visits."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from deploy.bench.startups.acts import apply
from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.climate import temperatures_c
from deploy.bench.startups.keepers import (
    FIRST_VISIT_H,
    Habit,
    Policy,
    by_habit,
    habit,
    opening,
    plan,
    visit_moments_h,
)
from deploy.bench.startups.kinetics import STEP_H, conditions, step
from deploy.bench.startups.kits import Shelf, shelf
from deploy.bench.startups.proof import KEPT_EVERY_H, ready_at_h
from deploy.bench.startups.records import Record, Row, StartUp, Visit
from deploy.bench.startups.scenarios import HORIZON_H, Setting, draw
from deploy.bench.startups.states import State, Traits
from deploy.bench.startups.testing import read
from deploy.bench.startups.waters import equilibria, equilibrium_dic_mmol_l, ph

_STEPS_AN_HOUR: Final = round(1.0 / STEP_H)
_STEPS_KEPT: Final = round(KEPT_EVERY_H / STEP_H)
_AFTER_HORIZON_H: Final = 24.0
_POLICY_HOUR: Final = 9.0
_STREAMS: Final = ("setting", "habit", "climate", "shelf", "visits", "reading", "acting")


@dataclass(slots=True, kw_only=True)
class Household:
    """One start-up's setting, keeper, kits and generators of chance, each chance its own."""

    record: Record
    ways: Habit
    tests: Shelf
    hourly_c: Floats
    moments_h: list[float]
    chance: dict[str, np.random.Generator]


def run(*, seed: int, numbers: Sequence[int], policy: Policy | None = None) -> list[StartUp]:
    """Simulate the start-ups ``numbers`` of ``seed``; each is the same in whatever company.

    With a ``policy`` all keepers come at nine and it decides what they do after the first dose.
    """
    houses = [
        _household(seed, number, column, at_hour=None if policy is None else _POLICY_HOUR)
        for column, number in enumerate(numbers)
    ]
    settings = [house.record.setting for house in houses]
    traits = traits_of(settings)
    hourly_c = np.array([house.hourly_c for house in houses])
    kept = _lived(houses, traits=traits, hourly_c=hourly_c, policy=policy)
    ready = ready_at_h(kept, temperature_c=hourly_c, traits=traits)
    return [_told(house, kept, at_h) for house, at_h in zip(houses, ready, strict=True)]


def _household(seed: int, number: int, column: int, *, at_hour: float | None) -> Household:
    chance = {
        name: np.random.default_rng([seed, number, stream]) for stream, name in enumerate(_STREAMS)
    }
    setting = draw(chance["setting"])
    ways = habit(chance["habit"], setting)
    return Household(
        record=Record(number=column, setting=setting, plan=plan(chance["habit"], setting, ways)),
        ways=ways,
        tests=shelf(chance["shelf"]),
        hourly_c=temperatures_c(setting, rng=chance["climate"]),
        moments_h=visit_moments_h(chance["visits"], ways, at_hour=at_hour),
        chance=chance,
    )


def traits_of(settings: Sequence[Setting]) -> Traits:
    return Traits(
        **{
            name: np.array([setting.traits[name] for setting in settings])
            for name in Traits._fields
        }
    )


def begun(settings: Sequence[Setting], *, traits: Traits, temperature_c: Floats) -> State:
    """Return waters that stood under their air, with their seed in."""
    salinity = np.array([setting.salinity for setting in settings])
    alkalinity = np.array([setting.alkalinity_meq_l for setting in settings])
    at = equilibria(temperature_c=temperature_c, salinity=salinity)
    dic = equilibrium_dic_mmol_l(
        alkalinity_meq_l=alkalinity, co2_mmol_l=at.co2_mol_l_atm * traits.air_co2_uatm / 1e3, at=at
    )
    none = np.zeros(len(settings))
    asleep = np.array([1.0 / np.expm1(setting.lag_d) for setting in settings])
    return State(
        tan=none.copy(),
        nitrite=none.copy(),
        nitrate=np.array([0.2 for _ in settings]),
        bound_n=none.copy(),
        lost_n=none.copy(),
        alkalinity_meq_l=alkalinity,
        dic_mmol_l=dic,
        oxygen_mg_l=at.oxygen_mg_l.copy(),
        ph=ph(
            alkalinity_meq_l=alkalinity,
            dic_mmol_l=dic,
            tan_mg_l_n=none,
            at=at,
            near=np.full(len(settings), 8.0),
        ),
        salinity=salinity,
        ammonia_oxidisers=_alive(settings, "ammonia_oxidisers"),
        fast_oxidisers=_alive(settings, "fast_oxidisers"),
        slow_oxidisers=_alive(settings, "slow_oxidisers"),
        ammonia_wake=asleep,
        nitrite_wake=asleep.copy(),
    )


def _alive(settings: Sequence[Setting], population: str) -> Floats:
    return np.array([getattr(setting, population) * setting.survival for setting in settings])


def _lived(
    houses: list[Household], *, traits: Traits, hourly_c: Floats, policy: Policy | None
) -> Floats:
    """Return the states half a day apart; the houses' books fill on the way."""
    state = begun(
        [house.record.setting for house in houses], traits=traits, temperature_c=hourly_c[:, 0]
    )
    at = conditions(temperature_c=hourly_c[:, 0], salinity=state.salinity, traits=traits)
    due = _due(houses)
    kept = []
    for quarter in range(round((HORIZON_H + _AFTER_HORIZON_H) / STEP_H) + 1):
        hour, within = divmod(quarter, _STEPS_AN_HOUR)
        if quarter % _STEPS_KEPT == 0:
            kept.append(np.array(state))
        if within == 0:
            at = conditions(temperature_c=hourly_c[:, hour], salinity=state.salinity, traits=traits)
        if quarter in due:
            _visited(due[quarter], state, quarter * STEP_H, traits=traits, policy=policy)
        state = step(state, traits=traits, at=at)
    return np.array(kept)


def _due(houses: Iterable[Household]) -> dict[int, list[Household]]:
    found = defaultdict(list)
    for house in houses:
        for moment_h in house.moments_h:
            found[round(moment_h / STEP_H)].append(house)
    return dict(found)


def _visited(
    houses: list[Household], state: State, t_h: float, *, traits: Traits, policy: Policy | None
) -> None:
    for house in houses:
        read(
            state,
            house.record,
            house.tests,
            t_h=t_h,
            true_c=float(house.hourly_c[int(t_h)]),
            rng=house.chance["reading"],
        )
    for house, acts in zip(houses, _decided(houses, t_h, policy), strict=True):
        for act in acts:
            _done(act, house, state, traits)


def _decided(houses: list[Household], t_h: float, policy: Policy | None) -> Sequence[Sequence[Row]]:
    if t_h == FIRST_VISIT_H:
        return [opening(house.record, house.ways) for house in houses]
    visits = [Visit(t_h=t_h, record=house.record) for house in houses]
    if policy is not None:
        return policy(visits)
    return [
        by_habit(visit, house.ways, rng=house.chance["acting"])
        for visit, house in zip(visits, houses, strict=True)
    ]


def _done(act: Row, house: Household, state: State, traits: Traits) -> None:
    number = house.record.number
    apply(act, state, number=number, ways=house.ways, traits=traits, rng=house.chance["acting"])
    house.record.events.append(act)
    if act["kind"] == "dose_nh4cl":
        house.record.tan_after_doses.append((act["t_h"], float(state.tan[number])))


def _told(house: Household, kept: Floats, at_h: float | None) -> StartUp:
    own = State(*kept[:, :, house.record.number].T)
    return StartUp(
        record=house.record,
        ready_at_h=at_h,
        true_t_h=np.arange(len(kept), dtype=np.float64) * KEPT_EVERY_H,
        true_tan_mg_l_n=own.tan,
        true_nitrite_mg_l_n=own.nitrite,
        true_alkalinity_meq_l=own.alkalinity_meq_l,
        true_ph=own.ph,
    )
