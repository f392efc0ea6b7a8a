"""Continuous exchange, against scipy's integration of the same tank and against batches."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from chemistry.dilution import Unreachable, after_changes
from chemistry.domain import OutOfRange
from chemistry.flow_through import after_flow_through, flow_through_to_reach_l, steady_level_mg_l


def test_one_volume_leaves_the_part_that_e_leaves() -> None:
    # Chemical reaction engineering, the washout of a stirred tank: 1/e after one volume.
    left = after_flow_through(level=1.0, source_level=0.0, volume_l=400.0, poured_l=400.0)

    assert left == pytest.approx(0.3679, abs=1e-4)


def test_it_is_the_stirred_tank_that_scipy_integrates() -> None:
    # scipy 1.17.1, LSODA: dC/dt = q (Cs - C) with q = 0.3 volumes an hour, eight hours.
    solved = solve_ivp(
        lambda _, c: 0.3 * (10 - c), (0, 8), [80.0], method="LSODA", rtol=1e-10, atol=1e-10
    )

    assert after_flow_through(
        level=80.0, source_level=10.0, volume_l=100.0, poured_l=240.0
    ) == pytest.approx(float(solved.y[0, -1]), abs=1e-6)


@given(
    poured=st.floats(min_value=0.01, max_value=5),
    batches=st.integers(min_value=1, max_value=50),
)
def test_the_same_litres_in_batches_do_more(poured: float, batches: int) -> None:
    fraction = min(poured / batches, 1.0)
    in_batches = after_changes(level=1.0, source_level=0.0, fraction=fraction, times=batches)

    assert in_batches < after_flow_through(
        level=1.0, source_level=0.0, volume_l=1.0, poured_l=fraction * batches
    )


@given(
    level=st.floats(min_value=11, max_value=200),
    share=st.floats(min_value=0.01, max_value=0.99),
    volume_l=st.floats(min_value=1, max_value=1e5),
)
def test_the_litres_that_lead_there_are_found_again(
    level: float, share: float, volume_l: float
) -> None:
    target = 10 + share * (level - 10)
    litres = flow_through_to_reach_l(
        level=level, source_level=10.0, target_level=target, volume_l=volume_l
    )

    assert after_flow_through(
        level=level, source_level=10.0, volume_l=volume_l, poured_l=litres
    ) == pytest.approx(target)


def test_many_tanks_at_once() -> None:
    levels = after_flow_through(
        level=np.array([80.0, 10.0]),
        source_level=np.array([10.0, 10.0]),
        volume_l=np.array([400.0, 400.0]),
        poured_l=np.array([400.0, 9000.0]),
    )

    assert levels == pytest.approx([10 + 70 / np.e, 10])


def test_a_flow_carries_off_what_is_made() -> None:
    # By hand: 830 mg a day into 500 L a day is 1.66 mg/L above the source's 0.2.
    level = steady_level_mg_l(made_mg_day=830.0, flow_l_day=500.0, source_mg_l=0.2)

    assert level == pytest.approx(1.86)
    # scipy: the same tank, started clean, is there within a millionth after 30 days.
    solved = solve_ivp(
        lambda _, c: 830 / 1000 + 0.5 * (0.2 - c), (0, 30), [0.2], rtol=1e-10, atol=1e-12
    )
    assert float(solved.y[0, -1]) == pytest.approx(level, rel=1e-6)


def test_the_source_itself_is_never_reached() -> None:
    with pytest.raises(Unreachable, match="never reach"):
        flow_through_to_reach_l(level=80.0, source_level=10.0, target_level=10.0, volume_l=1.0)
    with pytest.raises(Unreachable, match="between the two"):
        flow_through_to_reach_l(level=80.0, source_level=10.0, target_level=5.0, volume_l=1.0)


def test_no_flow_is_no_steady_state() -> None:
    with pytest.raises(OutOfRange, match="flow"):
        steady_level_mg_l(made_mg_day=830.0, flow_l_day=0.0, source_mg_l=0.0)
