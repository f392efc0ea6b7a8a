"""Routines of equal changes: where they settle, what holds a limit, what a dose too many does."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.blending import mixed_level
from chemistry.dilution import Unreachable, after_change
from chemistry.domain import OutOfRange
from chemistry.dosing import dose_g, implied_rise_mg_l
from chemistry.routine import (
    after_full_doses,
    before_change_number,
    fraction_to_hold,
    redose_rise,
    steady_after_change,
    steady_before_change,
)


# The trade's worked case: ten more a week settles at 100 by tenths, 40 by quarters, 20 by halves.
@pytest.mark.parametrize(("fraction", "settled"), [(0.1, 100), (0.25, 40), (0.5, 20)])
def test_a_tenth_a_week_keeps_ten_weeks_worth(fraction: float, settled: float) -> None:
    assert steady_before_change(gain=10.0, fraction=fraction, source_level=0.0) == pytest.approx(
        settled
    )
    assert steady_after_change(gain=10.0, fraction=fraction, source_level=0.0) == pytest.approx(
        settled - 10
    )


@given(
    level=st.floats(min_value=0, max_value=200),
    gain=st.floats(min_value=0, max_value=50),
    fraction=st.floats(min_value=0.01, max_value=0.99),
    source=st.floats(min_value=0, max_value=50),
    times=st.integers(min_value=0, max_value=30),
)
def test_the_formula_is_the_routine_done_one_by_one(
    level: float, gain: float, fraction: float, source: float, times: int
) -> None:
    done = level
    for _ in range(times):
        done = after_change(level=done, source_level=source, fraction=fraction) + gain

    assert before_change_number(
        level=level, gain=gain, fraction=fraction, source_level=source, times=times
    ) == pytest.approx(done, abs=1e-8)


@given(
    gain=st.floats(min_value=0.1, max_value=50),
    source=st.floats(min_value=0, max_value=50),
    room=st.floats(min_value=1.01, max_value=100),
)
def test_the_share_that_holds_a_limit_settles_at_it(
    gain: float, source: float, room: float
) -> None:
    limit = source + gain * room
    fraction = fraction_to_hold(gain=gain, limit=limit, source_level=source)

    assert steady_before_change(gain=gain, fraction=fraction, source_level=source) == pytest.approx(
        limit
    )


@pytest.mark.parametrize(("gain", "source"), [(10.0, 20.0), (10.0, 25.0), (15.0, 10.0)])
def test_a_limit_that_no_change_holds_is_refused(gain: float, source: float) -> None:
    with pytest.raises(Unreachable, match="Change more often"):
        fraction_to_hold(gain=gain, limit=20.0, source_level=source)


def test_what_went_with_thirty_percent_is_thirty_percent_of_the_dose() -> None:
    assert redose_rise(target_level=0.2, source_level=0.0, fraction=0.3) == pytest.approx(0.06)
    assert redose_rise(target_level=0.2, source_level=0.1, fraction=0.3) == pytest.approx(0.03)


@given(
    target=st.floats(min_value=0, max_value=100),
    share=st.floats(min_value=0, max_value=1),
    fraction=st.floats(min_value=0, max_value=1),
)
def test_change_and_redose_come_back_to_the_target(
    target: float, share: float, fraction: float
) -> None:
    source = share * target
    changed = after_change(level=target, source_level=source, fraction=fraction)
    rise = redose_rise(target_level=target, source_level=source, fraction=fraction)

    assert changed + rise == pytest.approx(target, abs=1e-9)


LEVELS = st.floats(min_value=0, max_value=200)
FRACTIONS = st.floats(min_value=0, max_value=1)


@given(level=LEVELS, source=LEVELS, fraction=FRACTIONS, dose=st.floats(0, 50))
def test_dosing_before_a_change_loses_its_share_of_the_dose(
    level: float, source: float, fraction: float, dose: float
) -> None:
    dosed_first = after_change(level=level + dose, source_level=source, fraction=fraction)
    dosed_last = after_change(level=level, source_level=source, fraction=fraction) + dose

    assert dosed_last - dosed_first == pytest.approx(fraction * dose, abs=1e-9)


@given(level=LEVELS, source=LEVELS, fraction=FRACTIONS, dose=st.floats(0, 50))
def test_with_the_new_water_dosed_alike_the_order_does_not_matter(
    level: float, source: float, fraction: float, dose: float
) -> None:
    both_dosed = after_change(level=level + dose, source_level=source + dose, fraction=fraction)
    dosed_last = after_change(level=level, source_level=source, fraction=fraction) + dose

    assert both_dosed == pytest.approx(dosed_last, abs=1e-9)


@given(
    gain=st.floats(min_value=0.1, max_value=50),
    source=LEVELS,
    fractions=st.tuples(st.floats(0.01, 0.98), st.floats(0.01, 0.98)).filter(
        lambda pair: abs(pair[0] - pair[1]) > 1e-3
    ),
)
def test_larger_changes_settle_lower(
    gain: float, source: float, fractions: tuple[float, float]
) -> None:
    small, large = sorted(fractions)

    assert steady_before_change(
        gain=gain, fraction=large, source_level=source
    ) < steady_before_change(gain=gain, fraction=small, source_level=source)


@given(
    events=st.lists(
        st.tuples(
            st.sampled_from(["change", "dose", "mix in"]),
            st.floats(min_value=0.01, max_value=0.9),
            st.floats(min_value=0, max_value=100),
        ),
        max_size=15,
    )
)
def test_mass_balances_through_any_sequence_of_changes_and_doses(
    events: list[tuple[str, float, float]],
) -> None:
    litres, level = 300.0, 40.0
    held_mg, in_mg, out_mg = litres * level, 0.0, 0.0
    for event, share, amount in events:
        if event == "change":
            in_mg += share * litres * amount
            out_mg += share * litres * level
            level = after_change(level=level, source_level=amount, fraction=share)
        elif event == "dose":
            grams = dose_g(rise_mg_l=amount, volume_l=litres, active_share=share)
            in_mg += 1000 * grams * share
            level += implied_rise_mg_l(dose_g=grams, volume_l=litres, active_share=share)
        else:
            in_mg += share * litres * amount
            level = mixed_level(
                level=level, volume_l=litres, added_level=amount, added_l=share * litres
            )
            litres += share * litres

    assert litres * level == pytest.approx(held_mg + in_mg - out_mg, rel=1e-9)


def test_a_source_richer_than_the_target_is_refused() -> None:
    with pytest.raises(Unreachable, match="a dose cannot lower it"):
        redose_rise(target_level=1.0, source_level=2.0, fraction=0.3)


def test_the_whole_dose_again_after_each_change_piles_up() -> None:
    # The trade's worked case with 30 % changes: 170 %, 219 %, 253 %, in the end 333 %.
    piled = after_full_doses(
        dose=np.full(4, 100.0), fraction=np.full(4, 0.3), times=np.array([1.0, 2.0, 3.0, 500.0])
    )

    assert piled == pytest.approx([170, 219, 253.3, 333.33], abs=0.05)


def test_changing_nothing_is_no_routine() -> None:
    with pytest.raises(OutOfRange, match="exchanged share"):
        steady_before_change(gain=10.0, fraction=0.0, source_level=0.0)
