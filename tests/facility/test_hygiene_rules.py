"""Who is asked about a step from dirty to clean, and how often.

The order from clean to dirty is common practice, no source; the checks are of the house's rule.
"""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from facility.rules.hygiene import HandsOn, Said, Step, step_to_ask_about

EIGHT = datetime(2026, 3, 29, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
ranks = st.integers(1, 9)
minutes = st.integers(0, 300)


def worked(*pairs: tuple[int, int]) -> list[HandsOn]:
    """Minutes after eight, and the rank of the area."""
    return [HandsOn(at=EIGHT + minute * MINUTE, rank=rank) for minute, rank in pairs]


def said(minute: int, *, to: int, full: bool) -> Said:
    return Said(at=EIGHT + minute * MINUTE, to_rank=to, is_full=full)


def test_from_clean_to_dirty_nobody_is_asked() -> None:
    assert step_to_ask_about(6, acts=worked((0, 1), (10, 3)), said=[]) is None
    assert step_to_ask_about(3, acts=worked((0, 3)), said=[]) is None


def test_going_back_is_asked_about_with_the_dirtiest_area_since() -> None:
    step = step_to_ask_about(1, acts=worked((0, 1), (10, 6), (20, 3)), said=[])

    assert step == Step(from_rank=6, to_rank=1, since=EIGHT + 10 * MINUTE)


def test_a_full_break_ends_it_until_the_next_dirty_area() -> None:
    acts = worked((10, 6))
    rested = [said(15, to=1, full=True)]

    assert step_to_ask_about(1, acts=acts, said=rested) is None
    assert step_to_ask_about(1, acts=[*acts, *worked((20, 6))], said=rested) is not None


@pytest.mark.parametrize(("to_rank", "asks"), [(1, True), (2, True), (3, False), (5, False)])
def test_a_break_that_was_not_full_ends_only_the_asking(to_rank: int, *, asks: bool) -> None:
    step = step_to_ask_about(
        to_rank, acts=worked((10, 6), (20, 3)), said=[said(15, to=3, full=False)]
    )

    assert (step is not None) is asks
    assert step is None or step.from_rank == 6


@given(pairs=st.lists(st.tuples(minutes, ranks)), to_rank=ranks)
def test_after_an_answer_to_this_step_it_is_not_asked_again(
    pairs: list[tuple[int, int]], to_rank: int
) -> None:
    step = step_to_ask_about(to_rank, acts=worked(*pairs), said=[])
    for full in (True, False):
        answer = said(301, to=to_rank, full=full)
        assert step_to_ask_about(to_rank, acts=worked(*pairs), said=[answer]) is None
    assert (step is None) == all(rank <= to_rank for _, rank in pairs)
