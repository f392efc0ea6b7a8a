"""The simulator's chemistry and biology: balances, limits, and that its step is small enough."""

import numpy as np
import pytest

from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.kinetics import Conditions, conditions, step
from deploy.bench.startups.scenarios import Setting, draw
from deploy.bench.startups.states import State, Traits
from deploy.bench.startups.tanks import begun, traits_of

COUNT = 30
WARM_C = np.full(COUNT, 26.0)


@pytest.fixture(scope="module")
def settings() -> list[Setting]:
    return [draw(np.random.default_rng([99, number])) for number in range(COUNT)]


@pytest.fixture(scope="module")
def traits(settings: list[Setting]) -> Traits:
    return traits_of(settings)


@pytest.fixture
def dosed(settings: list[Setting], traits: Traits) -> State:
    water = begun(settings, traits=traits, temperature_c=WARM_C)
    return water._replace(tan=np.linspace(0.5, 12.0, COUNT))


def lived(state: State, traits: Traits, *, days: float, step_h: float = 0.25) -> State:
    at = conditions_of(state, traits)
    for _ in range(round(24.0 * days / step_h)):
        state = step(state, traits=traits, at=at, step_h=step_h)
    return state


def conditions_of(state: State, traits: Traits) -> Conditions:
    return conditions(temperature_c=WARM_C, salinity=state.salinity, traits=traits)


def test_nitrogen_is_neither_made_nor_lost(dosed: State, traits: Traits) -> None:
    after = lived(dosed, traits, days=20)

    assert after.nitrogen == pytest.approx(dosed.nitrogen, abs=1e-11)
    assert after.nitrate.max() > 1.0


def test_alkalinity_falls_by_two_equivalents_a_mol_oxidised(dosed: State, traits: Traits) -> None:
    """Charge balance: 0.1428 meq per mg N, 7.14 mg CaCO3 (found in ASM1 as well)."""
    after = lived(dosed, traits, days=20)

    oxidised = after.nitrite + after.nitrate + after.lost_n - dosed.nitrate
    expected = (2.0 * oxidised + after.bound_n - after.lost_n) / 14.007
    assert dosed.alkalinity_meq_l - after.alkalinity_meq_l == pytest.approx(expected, abs=1e-11)


def test_nothing_turns_negative_and_ph_stays_a_ph(dosed: State, traits: Traits) -> None:
    after = lived(dosed._replace(ammonia_oxidisers=np.full(COUNT, 300.0)), traits, days=30)

    for pool in (after.tan, after.nitrite, after.nitrate, after.oxygen_mg_l, after.dic_mmol_l):
        assert pool.min() >= 0.0
    assert np.isfinite(np.array(after)).all()
    assert 4.0 < after.ph.min() < after.ph.max() < 9.5


def test_the_step_is_small_enough(dosed: State, traits: Traits) -> None:
    coarse, fine = (lived(dosed, traits, days=8, step_h=step_h) for step_h in (0.25, 0.025))

    for pool in ("tan", "nitrite", "nitrate"):
        assert getattr(coarse, pool) == pytest.approx(getattr(fine, pool), abs=0.02)


def test_a_population_without_food_only_dies(settings: list[Setting], traits: Traits) -> None:
    water = begun(settings, traits=traits, temperature_c=WARM_C)

    after = lived(water, traits, days=10)

    left = np.exp(-10.0 * traits.decay * 1.06**1.0)
    assert after.ammonia_oxidisers / water.ammonia_oxidisers == pytest.approx(left, rel=1e-9)


def test_warmth_is_best_at_the_best_temperature_and_one_at_twenty_five(traits: Traits) -> None:
    """The cardinal model's definition: full speed at the optimum, none at either end."""
    fresh = np.zeros(COUNT) + 1e-9

    def speed(temperature_c: float) -> Floats:
        at = conditions(temperature_c=np.full(COUNT, temperature_c), salinity=fresh, traits=traits)
        return at.ammonia_speed

    assert speed(25.0) == pytest.approx(1.0, rel=1e-9)
    assert speed(3.0) == pytest.approx(0.0, abs=1e-12)
    assert (speed(31.0) > speed(25.0)).all()
    assert (speed(31.0) > speed(38.0)).all()


def test_a_full_filter_works_no_faster_than_its_room(dosed: State, traits: Traits) -> None:
    crowd = dosed._replace(ammonia_oxidisers=np.full(COUNT, 1e5), ammonia_wake=np.full(COUNT, 0.0))

    after = lived(crowd._replace(tan=np.full(COUNT, 60.0)), traits, days=0.25, step_h=0.05)

    best = traits.ammonia_room * conditions_of(dosed, traits).ammonia_speed * 0.25
    removed = 60.0 - after.tan
    assert (removed <= best).all()
    assert (removed > 0.0).all()
