"""Ramps: even steps, the exchange and salt formulas of the trade, and how far one has come."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from tanks.rules.ramps import (
    Step,
    notes,
    progress,
    read_back,
    salinity_steps,
    temperature_steps,
)
from tanks.rules.values import Interval

DAY = date(2026, 3, 30)


def salinity(begin: float, end: float, *, days: int = 4) -> tuple[Step, ...]:
    return salinity_steps(
        begin_g_kg=begin,
        end_g_kg=end,
        volume_l=400,
        temperature_c=25,
        starts_on=DAY,
        days=days,
    )


def test_salinity_rises_in_even_daily_steps() -> None:
    steps = salinity(19, 35)

    assert [step.target for step in steps] == pytest.approx([23, 27, 31, 35])
    assert [step.on for step in steps] == [DAY + timedelta(days=day) for day in range(4)]


def test_four_grams_a_litre_and_a_little_more_for_each_step_up() -> None:
    # Common practice, no source: about 36-40 g of mix a litre for 35 g/kg, so 4.1-4.6 for 4.
    steps = salinity(19, 35)

    assert all(4.1 <= step.salt_g / 400 <= 4.6 for step in steps)


def test_down_from_35_to_14_at_once_exchanges_about_sixty_percent() -> None:
    # f = 1 - B/A = 60 % by volume fraction; by mass, sea water being heavier, 60.6 %.
    (step,) = salinity(35, 14, days=1)

    assert step.exchange_l / 400 == pytest.approx(0.60, abs=0.01)
    assert step.exchange_l / 400 > 0.60
    assert step.salt_g == 0


def test_temperature_comes_down_two_degrees_in_two_days() -> None:
    steps = temperature_steps(begin_c=28, end_c=25, starts_on=DAY, days=3)

    assert [step.target for step in steps] == [27, 26, 25]


def test_no_way_to_go_is_no_step() -> None:
    assert temperature_steps(begin_c=25, end_c=25, starts_on=DAY, days=3) == ()


def test_a_tank_never_boils() -> None:
    with pytest.raises(OutOfRange):
        temperature_steps(begin_c=25, end_c=60, starts_on=DAY, days=3)


@given(
    begin=st.floats(min_value=0, max_value=40),
    end=st.floats(min_value=0, max_value=40),
    days=st.integers(min_value=1, max_value=5),
)
def test_the_last_step_ends_where_it_should(begin: float, end: float, days: int) -> None:
    if abs(begin - end) <= max(0.1 * days, 0.5):
        return
    steps = salinity(begin, end, days=days)

    assert len(steps) == days
    assert steps[-1].target == end


def test_steps_survive_being_kept() -> None:
    steps = temperature_steps(begin_c=28, end_c=25, starts_on=DAY, days=3)

    assert read_back([step.plain() for step in steps]) == steps


def states(*read: Interval, today: date) -> list[str]:
    steps = salinity(19, 35)
    found = progress(steps, of="SALINITY", begin=19, read=read, today=today)
    return [one.state for one in found]


def test_steps_are_done_by_readings_not_by_days() -> None:
    assert states(today=DAY) == ["due", "planned", "planned", "planned"]
    assert states(today=DAY + timedelta(days=1)) == ["overdue", "due", "planned", "planned"]
    assert states(Interval(26.8, 26.8), today=DAY) == ["done", "done", "planned", "planned"]


def test_a_bracket_counts_by_the_edge_that_lags() -> None:
    assert states(Interval(20, 24), today=DAY)[0] == "due"
    assert states(Interval(23, 24), today=DAY)[0] == "done"


def test_on_the_way_down_over_range_is_not_there() -> None:
    steps = salinity(35, 14, days=1)

    found = progress(steps, of="SALINITY", begin=35, read=[Interval(10, None)], today=DAY)

    assert [one.state for one in found] == ["due"]


def test_quick_heat_and_far_salt_are_noted() -> None:
    # 1-2 °C a day, challenge again beyond 4 °C or 10 g/kg: common practice, no source.
    quick = " ".join(notes(of="TEMPERATURE", begin=28, end=22, days=2))
    gentle = " ".join(notes(of="TEMPERATURE", begin=28, end=25, days=3))
    far = " ".join(notes(of="SALINITY", begin=19, end=35, days=4))

    assert "More than 2 °C a day" in quick
    assert "challenge the filter again" in quick
    assert "a day" not in gentle
    assert "more than 10 g/kg" in far
