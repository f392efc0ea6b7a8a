"""Whole forecasts: what the trade expects, what they may promise, and that they repeat."""

import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chemistry.cycling import (
    AmmoniumDose,
    Case,
    Disinfection,
    Event,
    Forecast,
    Inoculation,
    Reading,
    ReadyDefinition,
    SalinityChange,
    System,
    WaterChange,
    answer,
    forecast_case,
    forecast_cases,
)
from tests.chemistry.cycling.startups import (
    DAY_H,
    daily,
    doses,
    flat_case,
    forecast_of,
    promising_case,
    reading,
    recorded_case,
    seeded_case,
)


def _median_day(forecast: Forecast) -> float:
    return _quantile_day(forecast, "p50")


def _quantile_day(forecast: Forecast, level: str) -> float:
    at_h = forecast.planned.ready_at_h[level]
    assert at_h is not None
    return at_h / DAY_H


def test_before_the_first_reading_the_forecast_is_what_the_trade_expects() -> None:
    unread = replace(promising_case(), readings=(), now_h=0.0)
    seeded = forecast_of(unread)
    unseeded = forecast_of(replace(unread, events=()))

    # common practice, no source: about 14 days or less seeded, four to eight weeks without
    assert 3.0 < _median_day(seeded) < 14.0
    assert 28.0 < _median_day(unseeded) < 56.0
    early, late = (_quantile_day(unseeded, level) for level in ("p25", "p75"))
    assert 25.0 < early < 42.0 < late < 60.0
    assert seeded.sureness.startswith("Too early")
    assert "No ammonia has been read yet" in seeded.next_step.why


def test_seeded_warm_fresh_water_is_due_in_one_to_three_weeks() -> None:
    # common practice, no source: about 14 days or less
    assert 5.0 < _median_day(forecast_of(promising_case())) < 21.0


def test_unseeded_water_is_due_in_several_weeks() -> None:
    # common practice, no source: four to eight weeks
    case = flat_case(day=6)
    unseeded = replace(
        case, events=tuple(event for event in case.events if not isinstance(event, Inoculation))
    )

    assert 4 * 7 < _median_day(forecast_of(unseeded)) < 8 * 7


def test_marine_water_takes_longer_than_fresh_on_the_same_readings() -> None:
    # common practice, no source; Nijhof & Bovendeur 1990 for the slower rate
    case = promising_case(day=3)
    marine = replace(
        case, system=System(water="marine", temperature_setpoint_c=27.0, salinity_ppt=35.0)
    )

    assert _median_day(forecast_of(marine)) > _median_day(forecast_of(case))


def _passed_case() -> Case:
    """2 mg/L-N a day, gone every day with its nitrite."""
    return seeded_case(
        day=14,
        events=doses(*[day + 0.01 for day in range(14)]),
        readings=(
            reading(day=0, value=6.0, of="alkalinity"),
            *daily("tan", 1.0, 0.5, *["<0.25"] * 12),
            *daily("nitrite", 0.5, 1.0, 1.0, 0.5, *["<0.05"] * 10),
            *daily("ph", *[7.9] * 14),
        ),
    )


def test_water_that_clears_the_challenge_daily_is_ready_now() -> None:
    forecast = forecast_of(_passed_case())

    assert forecast.planned.ready_at_h["p50"] == 14 * DAY_H
    assert forecast.next_step.kind == "challenge"
    assert "only a challenge proves it" in forecast.sureness


def test_same_case_gives_the_same_forecast() -> None:
    case = promising_case()

    again = [replace(forecast, seconds=0.0) for forecast in forecast_cases([case, case])]

    assert again[0] == again[1]


def test_what_has_not_happened_yet_changes_nothing() -> None:
    case = promising_case()
    foretold = replace(
        case,
        readings=(*case.readings, reading(day=9, value=0.0, of="tan")),
        events=(*case.events, *doses(8.0)),
    )

    assert replace(forecast_of(foretold), seconds=0.0) == replace(forecast_of(case), seconds=0.0)


def test_longer_record_of_a_known_water_narrows_the_interval() -> None:
    def width_h(day: int) -> float:
        told = forecast_of(recorded_case(day=day, seed=3)[0]).planned.ready_at_h
        return (told["p90"] or 1800.0) - (told["p10"] or 1800.0)

    assert width_h(9) < 0.8 * width_h(3)


def test_nine_in_ten_intervals_hold_most_dates_of_known_waters() -> None:
    # no model error: the truth is a member, its readings are what a kit would round them to
    held = []
    for seed in range(10):
        case, ready_h = recorded_case(day=4, seed=seed)
        told = forecast_case(case, members=200).planned.ready_at_h
        held.append((told["p05"] or 1800.0) <= ready_h <= (told["p95"] or 1800.0))

    assert sum(held) >= 7


def test_early_forecast_says_it_is_too_early_for_a_date() -> None:
    assert forecast_of(promising_case(day=3)).sureness.startswith("Too early for a date")


def test_answer_has_the_exchange_shape() -> None:
    told = json.loads(json.dumps(answer(forecast_case(promising_case(), members=100))))

    assert set(told) == {
        "ready_at_h",
        "never_by_horizon",
        "causes",
        "next_step",
        "members",
        "seconds",
    }
    assert list(told["ready_at_h"]) == ["p05", "p10", "p25", "p50", "p75", "p90", "p95"]
    assert set(told["next_step"]) == {"kind", "amount", "unit", "why"}
    assert told["members"] == 100
    assert told["seconds"] > 0.0


def test_quantiles_rise_and_lie_from_now_to_the_horizon() -> None:
    case = promising_case()
    quantiles = [at_h for at_h in forecast_of(case).planned.ready_at_h.values() if at_h is not None]

    assert quantiles == sorted(quantiles)
    assert case.now_h <= quantiles[0]
    assert quantiles[-1] <= case.ready.horizon_h


def test_band_holds_most_readings_it_was_made_from() -> None:
    case = promising_case()
    told = forecast_of(case).bands
    at_noon = np.searchsorted(told.t_h, [24.0, 48.0, 72.0, 96.0])

    read = np.array([2.0, 1.5, 1.0, 0.25])
    low, high = np.array(told.tan.p10)[at_noon] * 0.6, np.array(told.tan.p90)[at_noon] * 1.6

    assert ((read >= low) & (read <= high)).mean() >= 0.75
    assert len(told.t_h) == len(told.ph.p50)


def test_wrong_basis_would_have_been_noticed() -> None:
    # nitrite as the ion is 3.28 times nitrite as N
    case = promising_case()
    as_ion = replace(
        case,
        readings=tuple(
            replace(one, basis="NO2") if one.parameter == "nitrite" else one
            for one in case.readings
        ),
    )

    ours, theirs = (forecast_of(one).bands.nitrite.p50 for one in (case, as_ion))
    at = 16  # hour 96

    assert theirs[at] < 0.6 * ours[at]


@pytest.mark.parametrize("now_h", [1790.0, 1800.0, 2000.0])
def test_idle_water_at_or_past_its_horizon_is_never_ready_by_it(now_h: float) -> None:
    case = flat_case(day=3)
    empty = replace(case, now_h=now_h, plan=replace(case.plan, redose_mg_l_n=0.0))

    forecast = forecast_case(empty, members=50)

    assert forecast.planned.never_by_horizon == 1.0
    assert set(forecast.planned.ready_at_h.values()) == {None}
    assert forecast.next_step.kind == "retest"


_moments = st.floats(0.0, 240.0)
_readings = st.lists(
    st.builds(
        lambda day, of, value: reading(day=day, of=of, value=value),
        day=st.floats(0.0, 10.0),
        of=st.sampled_from(["tan", "nitrite", "nitrate", "alkalinity"]),
        value=st.floats(0.0, 60.0) | st.sampled_from(["<0.25", ">5", "1-2"]),
    ),
    max_size=12,
)
_happenings = st.lists(
    st.one_of(
        st.builds(AmmoniumDose, t_h=_moments, amount=st.floats(0.0, 50.0)),
        st.builds(Inoculation, t_h=_moments),
        st.builds(Disinfection, t_h=_moments),
        st.builds(SalinityChange, t_h=_moments, salinity_ppt=st.floats(0.0, 80.0)),
        st.builds(WaterChange, t_h=_moments, fraction=st.floats(0.0, 1.0)),
    ),
    max_size=5,
)


@settings(max_examples=15, deadline=None)
@given(readings=_readings, events=_happenings)
def test_any_record_however_odd_gets_probabilities_and_ordered_dates(
    readings: list[Reading], events: list[Event]
) -> None:
    case = Case(
        now_h=240.0,
        system=System(water="fresh"),
        events=tuple(events),
        readings=(*readings, *daily("tan", 1.0, 1.0, 1.0)),
        ready=ReadyDefinition(horizon_h=480.0),
    )

    forecast = forecast_case(case, members=40)

    dates = [at_h for at_h in forecast.planned.ready_at_h.values() if at_h is not None]
    shares = [forecast.planned.never_by_horizon, forecast.pass_now, *forecast.causes.values()]
    assert dates == sorted(dates)
    assert all(0.0 <= share <= 1.0 + 1e-9 for share in shares)
    assert np.isfinite(forecast.bands.ph.p50).all()
    assert min(forecast.bands.tan.p10) >= 0.0
