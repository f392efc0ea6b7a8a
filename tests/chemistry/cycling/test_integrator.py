"""The scheme against scipy's stiff solver, and what it must never lose or let go negative."""

from functools import cache
from typing import Any, Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from chemistry.cycling import (
    AlkalinityAddition,
    AmmoniumDose,
    Case,
    Event,
    Feed,
    Inoculation,
    SalinityChange,
    System,
    WaterChange,
)
from chemistry.cycling.arrays import Floats, Precision, Reals
from chemistry.cycling.history import live
from chemistry.cycling.integrator import FORECAST_STEP_H, advance, step
from chemistry.cycling.model import Kinetics
from chemistry.cycling.timeline import timeline
from tests.chemistry.cycling.startups import (
    prior_members,
    promising_case,
    steady,
    water,
)

MEQ_PER_MG_N = 2.0 / 14.007  # two equivalents per mole of nitrogen oxidised, charge balance
MEMBERS = 8
_COMPARED: Final = 20
_DAILY_DOSE_MG_L_N: Final = 1.0
_DAILY_BUFFER_MEQ_L: Final = 0.15


def _slope(
    _: float, y: Floats, k: dict[str, float], temperature_c: float, salinity_g_kg: float
) -> list[float]:
    """The equations written out again, one member, from their definition and not the code."""
    n1, n2, _n3, alk, x1, x2 = y
    acid = k["kappa"] / (alk + 0.001)
    kelvin = temperature_c + 273.15
    ln_k = -6285.33 / kelvin + 0.0001635 * kelvin - 0.25444
    ln_k += (0.46532 - 123.7184 / kelvin) * salinity_g_kg**0.5
    ln_k += (-0.01992 + 3.17556 / kelvin) * salinity_g_kg
    ka = 1e8 * np.exp(ln_k)
    ammonia = n1 * ka / (ka + acid)
    nitrous = n2 * acid / (acid + 10**4.7)
    fp = 1 / (1 + acid / 10**1.6 + 10**-1.4 / acid)
    salt = 1 - 0.01 * salinity_g_kg

    def heat(theta: float, hot: float) -> float:
        top = 1 + np.exp((25.0 - hot) / 1.2)
        fall = top / (1 + np.exp((temperature_c - hot) / 1.2))
        return float(theta ** (temperature_c - 25.0) * fall * salt)

    g1 = heat(1.072, 32.5) * fp * n1 / (k["k1"] + n1) / (1 + n2 / k["kn"]) * alk / (alk + 0.15)
    resist = 1 + n2 / k["kn"] + ammonia / k["kfa"] + nitrous / 0.05
    g2 = heat(1.060, 31.5) * fp * n2 / (k["k2"] + n2) / resist
    decay = 0.04 * 1.06 ** (temperature_c - 25.0)
    r1, r2 = x1 * g1, x2 * g2
    return [
        -r1,
        r1 - r2,
        r2,
        -MEQ_PER_MG_N * r1,
        x1 * (k["mu1"] * g1 * (1 - x1 / k["c1"]) - decay),
        x2 * (k["mu2"] * g2 * (1 - x2 / k["c2"]) - decay),
    ]


def _constants(kinetics: Kinetics, member: int) -> dict[str, float]:
    return {
        "kappa": kinetics.kappa[member],
        "k1": kinetics.half_mg_l_n[0, member],
        "k2": kinetics.half_mg_l_n[1, member],
        "kn": kinetics.nitrite_half_mg_l_n[member],
        "kfa": kinetics.ammonia_half_mg_l_n[member],
        "mu1": kinetics.growth_per_d[0, member],
        "mu2": kinetics.growth_per_d[1, member],
        "c1": kinetics.limit_mg_l_d[0, member],
        "c2": kinetics.limit_mg_l_d[1, member],
    }


def _exact(start: Floats, constants: dict[str, float], *, days: float) -> Any:
    return solve_ivp(
        _slope,
        (0.0, days),
        start,
        method="LSODA",
        rtol=1e-10,
        atol=1e-12,
        args=(constants, 27.0, 0.3),
    ).y[:, -1]


@pytest.mark.parametrize(
    ("hours", "precision", "within_mg_l_n"),
    [
        (FORECAST_STEP_H, np.float64, 0.05),
        (FORECAST_STEP_H, np.float32, 0.05),
        (2.0, np.float64, 0.2),
    ],
)
def test_three_weeks_with_doses_stay_close_to_scipys_lsoda(
    hours: float, precision: Precision, within_mg_l_n: float
) -> None:
    # scipy.integrate.solve_ivp, LSODA, rtol 1e-10, atol 1e-12
    members = prior_members(count=_COMPARED, case=promising_case(), seed=11)
    kinetics, at = members.kinetics.cast(precision), steady().over(hours).cast(precision)
    ours: Reals = water(members=_COMPARED, capacities=(0.7, 0.5)).astype(precision)

    for theirs in _exact_days():
        for _ in range(round(24.0 / hours)):
            advance(ours, of=kinetics, at=at)
        assert np.abs(ours[:3] - theirs[:3]).max() <= within_mg_l_n
        assert np.abs(ours[3] - theirs[3]).max() <= 0.2 * within_mg_l_n
        ours[0] += _DAILY_DOSE_MG_L_N
        ours[3] += _DAILY_BUFFER_MEQ_L


@cache
def _exact_days() -> list[Floats]:
    """Return the exact end of each of 21 days, a dose and a buffer given after each."""
    members = prior_members(count=_COMPARED, case=promising_case(), seed=11)
    constants = [_constants(members.kinetics, member) for member in range(_COMPARED)]
    state, days = water(members=_COMPARED, capacities=(0.7, 0.5)), []
    for _ in range(21):
        ends = [_exact(state[:, member], one, days=1.0) for member, one in enumerate(constants)]
        days.append(np.stack(ends, axis=1))
        state = days[-1].copy()
        state[0] += _DAILY_DOSE_MG_L_N
        state[3] += _DAILY_BUFFER_MEQ_L
    return days


def test_halving_the_step_divides_the_error_by_about_four() -> None:
    # second order, Burchard, Deleersnijder & Meister 2003 (from memory, unverified)
    members = prior_members(count=1, case=promising_case(), seed=4)
    start = water(capacities=(1.0, 0.7))
    exact = _exact(start[:, 0], _constants(members.kinetics, 0), days=1.0)

    coarse, fine = (_error(start, exact, members.kinetics, hours) for hours in (0.5, 0.25))

    assert 3.0 < coarse / fine < 5.0


def _error(start: Floats, exact: Floats, kinetics: Kinetics, hours: float) -> float:
    state = start
    for _ in range(round(24.0 / hours)):
        state = step(state, of=kinetics, at=steady().over(hours))
    return float(np.abs(state[:3, 0] - exact[:3]).max())


_moment = st.floats(0.0, 200.0)
_events = st.lists(
    st.one_of(
        st.builds(AmmoniumDose, t_h=_moment, amount=st.floats(0.0, 20.0)),
        st.builds(AlkalinityAddition, t_h=_moment, amount=st.floats(0.0, 5.0)),
        st.builds(Inoculation, t_h=_moment),
        st.builds(SalinityChange, t_h=_moment, salinity_ppt=st.floats(0.0, 40.0)),
        st.builds(
            WaterChange,
            t_h=_moment,
            fraction=st.floats(0.0, 1.0),
            source_alkalinity_meq_l=st.floats(0.0, 5.0),
            source_tan_mg_l_n=st.floats(0.0, 2.0),
        ),
    ),
    max_size=8,
)


def _case(events: list[Event]) -> Case:
    return Case(now_h=200.0, system=System(water="fresh"), events=tuple(events)).up_to_now()


def _books(case: Case, *, nitrogen: Floats, buffer: Floats, scale: Floats) -> tuple[Floats, Floats]:
    """Nitrogen, and alkalinity plus what its spending made, from the events alone."""
    for event in case.events:
        if isinstance(event, AmmoniumDose):
            nitrogen = nitrogen + event.amount * scale
        elif isinstance(event, AlkalinityAddition):
            buffer = buffer + event.amount
        elif isinstance(event, WaterChange):
            left = 1.0 - event.fraction
            nitrogen = nitrogen * left + event.fraction * event.source_tan_mg_l_n
            buffer = buffer * left + event.fraction * event.source_alkalinity_meq_l
    return nitrogen, buffer


@settings(max_examples=25, deadline=None)
@given(events=_events)
def test_nitrogen_and_alkalinity_balance_and_nothing_turns_negative(events: list[Event]) -> None:
    case = _case(events)
    members = prior_members(count=MEMBERS, case=case)

    plot = timeline(case, keep_h=[0.0], longest_step_h=2.0)
    state = live(plot, case=case, members=members).now

    nitrogen, buffer = _books(
        case,
        nitrogen=members.nitrate_mg_l_n,
        buffer=members.alkalinity_meq_l + MEQ_PER_MG_N * members.nitrate_mg_l_n,
        scale=members.dose_scale,
    )
    assert state[:3].sum(axis=0) == pytest.approx(nitrogen, rel=1e-12, abs=1e-12)
    spent = MEQ_PER_MG_N * (state[1] + state[2])
    assert state[3] + spent == pytest.approx(buffer, rel=1e-12, abs=1e-12)
    assert (state >= 0.0).all()


def test_feed_becomes_ammonia_over_the_day_that_follows() -> None:
    # 20 g at 45 % protein in 400 L: 2.07 mg/L-N (Timmons & Ebeling's 0.092)
    case = _case([Feed(t_h=10.0, feed_g=20.0, protein=0.45, volume_l=400.0)])
    members = prior_members(count=MEMBERS, case=case)

    state = live(
        timeline(case, keep_h=[10.0, 22.0], longest_step_h=2.0), case=case, members=members
    )

    risen = state.kept[:, :3].sum(axis=1) - members.nitrate_mg_l_n
    assert risen[0] == pytest.approx(0.0, abs=1e-9)
    assert risen[1] == pytest.approx(1.035, abs=1e-6)
    assert state.now[:3].sum(axis=0) - members.nitrate_mg_l_n == pytest.approx(2.07, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(
    tan=st.floats(0.0, 200.0),
    nitrite=st.floats(0.0, 200.0),
    alkalinity=st.floats(1e-6, 5.0),
    capacity=st.floats(1e-6, 500.0),
    hours=st.floats(0.1, 6.0),
)
def test_no_row_crosses_zero_in_the_roughest_water(
    tan: float, nitrite: float, alkalinity: float, capacity: float, hours: float
) -> None:
    kinetics = prior_members(count=MEMBERS, case=promising_case()).kinetics
    state = water(
        members=MEMBERS,
        tan=tan,
        nitrite=nitrite,
        alkalinity=alkalinity,
        capacities=(capacity, capacity),
    )

    for _ in range(40):
        state = step(state, of=kinetics, at=steady().over(hours))

    assert np.isfinite(state).all()
    assert (state >= 0.0).all()
    assert (state[3:] > 0.0).all()
