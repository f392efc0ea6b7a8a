"""The forecast bench: whom it asks, what it compares, and when an alarm counts."""

import json
from collections.abc import Iterator
from dataclasses import replace
from io import StringIO
from typing import Any

import numpy as np
import pytest
from django.core.management import CommandError, call_command

from chemistry.cycling import Reading, read_case
from deploy.bench.alarms import alarms, is_flat
from deploy.bench.dates import scored_days, subgroups
from deploy.bench.forecasting import Told, told_forecasts
from deploy.bench.peers import Memory, memory_of, rule_days, true_days
from deploy.bench.startups import REHEARSAL_SEED, StartUp, simulate
from deploy.bench.targets import targets


@pytest.fixture(scope="module")
def start_ups() -> list[StartUp]:
    return simulate(REHEARSAL_SEED, 30)


@pytest.fixture(scope="module")
def told(start_ups: list[StartUp]) -> list[Told]:
    found, _pace = told_forecasts(start_ups[:12], days=(7,), members=60)
    return found


def of(scenario: str, start_ups: list[StartUp]) -> StartUp:
    return next(one for one in start_ups if one.scenario == scenario)


def test_only_those_not_ready_yet_are_asked(told: list[Told], start_ups: list[StartUp]) -> None:
    waiting = [one.number for one in start_ups[:12] if true_days(one) > 7.0]

    assert [one.start_up.number for one in told] == waiting
    assert all(one.case.now_h == 168.0 for one in told)
    assert all((np.diff(one.quantiles_d) >= 0.0).all() for one in told)
    assert all(one.quantiles_d[0] >= 7.0 and one.quantiles_d[-1] <= 75.0 for one in told)


def test_the_rule_is_a_fortnight_or_six_weeks_but_not_the_past(start_ups: list[StartUp]) -> None:
    seeded = next(one for one in start_ups if one.is_seeded)
    unseeded = of("unseeded", start_ups)

    assert [rule_days(seeded, day=day) for day in (3.0, 21.0)] == [14.0, 21.0]
    assert [rule_days(unseeded, day=day) for day in (3.0, 50.0)] == [42.0, 50.0]


def test_memory_knows_seeded_from_unseeded_and_forgets_who_is_ready(
    start_ups: list[StartUp],
) -> None:
    memory = Memory(seeded=np.array([5.0, 12.0, 75.0]), unseeded=np.array([40.0, 50.0]))
    seeded = next(one for one in start_ups if one.is_seeded)

    assert memory.members(seeded, day=5.0).tolist() == [12.0, 75.0]
    assert memory.members(seeded, day=75.0).tolist() == [75.0]


def test_a_day_is_scored_beside_peer_and_rule(told: list[Told], start_ups: list[StartUp]) -> None:
    rows = {row["day"]: row for row in scored_days(told, memory=memory_of(start_ups))}

    assert rows[3]["n"] == 0
    day = rows[7]
    assert day["n"] == len(told)
    truth = np.array([true_days(one.start_up) for one in told])
    rule = np.mean([abs(rule_days(one.start_up, day=7) - true_days(one.start_up)) for one in told])
    assert day["all"]["crps_d"]["rule"] == pytest.approx(rule)
    median = np.array([one.quantiles_d[3] for one in told])
    assert day["all"]["median_error_d"]["ours"] == pytest.approx(np.abs(median - truth).mean())
    assert 0.0 < day["all"]["crps_d"]["ours"] <= day["all"]["median_error_d"]["ours"]


def test_an_alarm_that_must_sound_twice_counts_on_the_second_day(
    told: list[Told], start_ups: list[StartUp]
) -> None:
    dead = of("dead_seed", start_ups)
    days = {3: 0.95, 4: 0.2, 5: 0.95, 6: 0.97, 7: 0.99}
    heard = [sounding(told[0], dead, day, weak_or_dead_seed=chance) for day, chance in days.items()]

    row = {row["alarm"]: row for row in alarms(heard)}["seed killed"]

    assert (row["n"], row["told"], row["median_day"]) == (1, 1.0, 6.0)
    assert row["false"] is None


def test_a_false_alarm_counts_once_for_a_healthy_start_up(
    told: list[Told], start_ups: list[StartUp]
) -> None:
    healthy = [one for one in start_ups if one.scenario == "seeded_ok" and one.is_ready_by(20)]
    heard = [
        sounding(told[0], one, day, nitrite_oxidisers_missing=0.9 if one is healthy[0] else 0.1)
        for one in healthy
        for day in (3, 4)
    ]

    row = {row["alarm"]: row for row in alarms(heard)}["nitrite oxidisers missing"]

    assert row["n_healthy"] == len(healthy) > 1
    assert row["false"] == pytest.approx(1.0 / len(healthy))


def test_low_alkalinity_is_judged_by_the_true_water(
    told: list[Told], start_ups: list[StartUp]
) -> None:
    healthy = next(one for one in start_ups if one.scenario == "seeded_ok" and one.is_ready_by(20))
    before = np.where(healthy.true_t_h < 84.0, 2.0, 0.1)
    draining = replace(healthy, true_alkalinity_meq_l=before, ready_at_h=400.0)

    def row(*days: int) -> dict[str, Any]:
        heard = [sounding(told[0], draining, day, low_alkalinity=0.9) for day in days]
        rows = {row["alarm"]: row for row in alarms(heard)}
        return rows["alkalinity exhausted by day 5"]

    assert (row(4, 5)["n"], row(4, 5)["days"], row(4, 5)["false"]) == (1, [4], 0.0)
    assert row(3, 4)["false"] == 1.0  # on day 3 there was plenty


def sounding(model: Told, start_up: StartUp, day: int, **chances: float) -> Told:
    quiet = dict.fromkeys(model.forecast.causes, 0.0)
    forecast = replace(model.forecast, causes=quiet | chances)
    return replace(model, start_up=start_up, day=day, forecast=forecast)


@pytest.mark.parametrize(
    ("values", "flat"),
    [([2.0, 2.0, 2.0], True), ([2.0, 1.8, 1.0], False), ([0.2, 0.2, 0.2], False)],
)
def test_the_naive_rule_looks_back_five_days(
    start_ups: list[StartUp], values: list[float], *, flat: bool
) -> None:
    case = read_case(start_ups[0].text_at(7))
    read = tuple(
        Reading(t_h=72.0 * place, parameter="tan", value=value, unit="mg/L", basis="N")
        for place, value in enumerate(values)
    )

    assert is_flat(replace(case, readings=read), parameter="tan") is flat


def test_targets_are_judged_on_what_was_found(told: list[Told], start_ups: list[StartUp]) -> None:
    memory = memory_of(start_ups)
    found: dict[str, Any] = {
        "days": scored_days(told, memory=memory),
        "subgroups": subgroups(told, memory=memory),
        "alarms": alarms(told),
    }

    rows = {row["target"]: row for row in targets(found)}

    crps = next(row for row in found["days"] if row["n"])["all"]["crps_d"]["ours"]
    assert rows["CRPS, day 7"]["found"] == crps
    assert rows["CRPS, day 7"]["met"] is (crps <= 6.0)
    assert not any(name.endswith("day 14") for name in rows)


def test_a_cause_told_too_late_misses_its_target() -> None:
    heard = {"alarm": "seed killed", "n": 4, "days": [3, 4, 4, 9], "n_healthy": 50, "false": 0.02}

    rows = {row["target"]: row for row in targets({"days": [], "subgroups": [], "alarms": [heard]})}

    assert rows["seed killed: told by day 4"]["found"] == pytest.approx(0.75)
    assert not rows["seed killed: told by day 4"]["met"]
    assert rows["seed killed: false"]["met"]


@pytest.fixture
def answered() -> Iterator[StringIO]:
    with StringIO() as text:
        yield text


def test_bench_alone_lists_what_there_is(answered: StringIO) -> None:
    call_command("bench", stdout=answered)

    assert "forecast: How good are the forecasts" in answered.getvalue()


def test_an_unknown_bench_is_a_sentence() -> None:
    with pytest.raises(CommandError, match="name: forecasts is not a bench; choose one of"):
        call_command("bench", "forecasts")
    with pytest.raises(CommandError, match="--cycles: write a whole number from 1, not 0"):
        call_command("bench", "forecast", cycles=0)


def test_bench_forecast_answers_in_json_and_in_tables(answered: StringIO) -> None:
    call_command("bench", "forecast", seed=29, cycles=1, members=40, json=True, stdout=answered)
    found: dict[str, Any] = json.loads(answered.getvalue())

    assert (found["cycles"], found["seed_set"]) == (1, "free")
    assert [row["day"] for row in found["days"]] == [3, 5, 7, 10, 14, 21, 28, 35]
    assert found["truth"][-1]["n"] == 1
    assert found["seconds"]["alone_median_s"] > 0.0
