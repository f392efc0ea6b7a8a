"""Simulated start-ups: the same by seed, as long as the trade sees them, read with real kits."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from chemistry.cycling import read_case
from deploy.bench.startups import (
    CALIBRATION_SEED,
    REHEARSAL_SEED,
    REPORTING_SEEDS,
    StartUp,
    Visit,
    dosing,
    set_of,
    simulate,
)
from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.kits import NITRITE_SCALES, TAN_SCALES, Kit, Scale
from deploy.bench.startups.proof import ready_at_h
from deploy.bench.startups.scenarios import draw
from deploy.bench.startups.states import State, Traits
from deploy.bench.startups.tanks import begun, traits_of


@pytest.fixture(scope="module")
def start_ups() -> list[StartUp]:
    return simulate(CALIBRATION_SEED, 120)


def days(start_ups: Sequence[StartUp], scenario: str, *, water: str | None = None) -> list[float]:
    return [
        np.inf if one.ready_at_h is None else one.ready_at_h / 24.0
        for one in start_ups
        if one.scenario == scenario and water in (None, one.water)
    ]


def test_a_start_up_is_the_same_in_whatever_company(start_ups: list[StartUp]) -> None:
    alone = simulate(CALIBRATION_SEED, 3)

    for one, among in zip(alone, start_ups, strict=False):
        assert one.case_at(30) == among.case_at(30)
        assert one.ready_at_h == among.ready_at_h


def test_another_seed_is_another_world() -> None:
    assert simulate(REHEARSAL_SEED, 1)[0].case_at(9) != simulate(CALIBRATION_SEED, 1)[0].case_at(9)
    assert CALIBRATION_SEED not in REPORTING_SEEDS
    assert [set_of(seed) for seed in (CALIBRATION_SEED, REPORTING_SEEDS[0], 5)] == [
        "calibration",
        "reporting",
        "free",
    ]


def test_start_ups_last_as_long_as_the_trade_sees(start_ups: list[StartUp]) -> None:
    """Seeded within about a fortnight, unseeded four to eight weeks: common practice, no source."""
    assert 7.0 < np.median(days(start_ups, "seeded_ok")) < 16.0
    assert 28.0 < np.median(days(start_ups, "unseeded")) < 56.0
    assert np.median(days(start_ups, "dead_seed")) > 20.0
    never = np.mean([one.ready_at_h is None for one in start_ups])
    assert 0.04 < never < 0.25


def test_sea_water_is_slower_than_fresh(start_ups: list[StartUp]) -> None:
    """Nijhof and Bovendeur 1990: much longer start-up in sea water (found)."""
    fresh, marine = (days(start_ups, "seeded_ok", water=kind) for kind in ("fresh", "marine"))

    assert np.median(marine) > np.median(fresh)


def test_every_case_can_be_read_by_the_third_day(start_ups: list[StartUp]) -> None:
    for one in start_ups:
        case = read_case(one.text_at(3))

        assert case.is_seeded == one.is_seeded
        assert max(reading.t_h for reading in case.readings) <= 72.0


def test_kits_answer_only_with_their_own_marks(start_ups: list[StartUp]) -> None:
    for one in start_ups[:40]:
        assert_on_a_scale(one, "tan", TAN_SCALES)
        assert_on_a_scale(one, "nitrite", NITRITE_SCALES)


def assert_on_a_scale(one: StartUp, parameter: str, scales: Sequence[Any]) -> None:
    rows = [row for row in one.case_at(75)["readings"] if row["parameter"] == parameter]
    values, basis = [row["value"] for row in rows], rows[0]["basis"]
    assert any(
        scale.basis == basis and all(is_mark(value, scale) for value in values) for scale in scales
    )


def is_mark(value: float | str, scale: Any) -> bool:
    if isinstance(value, str):
        return value in (f"<{scale.detects:g}", f">{scale.highest:g}")
    return value in scale.steps or (not scale.steps and scale.detects <= value <= scale.highest)


def test_a_kit_is_right_on_average_and_wrong_by_its_error() -> None:
    rng = np.random.default_rng(4)
    photometer = Scale(basis="NH4", detects=0.05, highest=20.0)
    kit = Kit(scale=photometer, bias=1.1, error=0.2, floor=0.0)

    taken = [kit.read(2.0, rng=rng).taken_mg_l_n for _ in range(4000)]

    assert np.mean(taken) == pytest.approx(2.2, rel=0.02)
    assert np.std(taken) == pytest.approx(0.44, rel=0.05)


def test_a_colour_that_cannot_be_told_is_below_the_first_mark() -> None:
    kit = Kit(scale=TAN_SCALES[0], bias=1.0, error=0.0, floor=0.0)
    rng = np.random.default_rng(4)

    assert kit.read(0.05, rng=rng).written == "<0.25"
    assert kit.read(0.75, rng=rng).written == 1.0
    assert kit.read(30.0, rng=rng).written == ">8"


def test_water_full_of_oxidisers_is_ready_at_once_and_a_dead_one_never() -> None:
    kept, traits, hourly_c = standing(days=6, populations=(30.0, 0.0))

    assert ready_at_h(kept, temperature_c=hourly_c, traits=traits) == [0.0, None]


def test_a_pass_that_does_not_last_is_no_date() -> None:
    kept, traits, hourly_c = standing(days=6, populations=(30.0, 30.0))
    dead = [State._fields.index(name) for name in POPULATIONS]
    kept[2, dead, 1] = 0.0  # at 24 h the second cannot pass

    first, second = ready_at_h(kept, temperature_c=hourly_c, traits=traits)

    assert first == 0.0
    assert second is not None
    assert 24.0 < second <= 36.0


POPULATIONS = ("ammonia_oxidisers", "fast_oxidisers", "slow_oxidisers")


def standing(*, days: int, populations: tuple[float, ...]) -> tuple[Floats, Traits, Floats]:
    """Return states half a day apart that do not change, one column for each population."""
    settings = [draw(np.random.default_rng(11)) for _ in populations]
    traits = traits_of(settings)._replace(
        ammonia_room=np.full(len(populations), 50.0), nitrite_room=np.full(len(populations), 50.0)
    )
    hourly_c = np.full((len(populations), 24 * days + 48), 26.0)
    state = begun(settings, traits=traits, temperature_c=hourly_c[:, 0])
    state = state._replace(**{name: np.array(populations) for name in POPULATIONS})
    return np.repeat(np.array(state)[None], 2 * days + 1, axis=0), traits, hourly_c


def test_a_policy_decides_in_the_keepers_stead() -> None:
    asked: list[float] = []

    def never_again(visits: Sequence[Visit]) -> list[list[dict[str, Any]]]:
        asked.extend(visit.t_h for visit in visits)
        return [[] for _ in visits]

    left_alone = simulate(CALIBRATION_SEED, 4, policy=never_again)
    doses = [row for one in left_alone for row in one.record.events if row["kind"] == "dose_nh4cl"]

    assert len(doses) == len(left_alone)
    assert {moment % 24.0 for moment in asked} == {9.0}


def test_the_written_plan_can_be_the_policy() -> None:
    tended = simulate(
        CALIBRATION_SEED,
        4,
        policy=lambda visits: [dosing(visit.record, t_h=visit.t_h) for visit in visits],
    )

    for one in tended:
        assert one.highest_tan_mg_l_n > 1.5
        assert sum(row["kind"] == "dose_nh4cl" for row in one.record.events) > 1
