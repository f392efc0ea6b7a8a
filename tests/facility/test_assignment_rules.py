"""A day shared out: nothing lost or doubled, skills and fixed tasks kept, clean before dirty.

The properties are what the word assignment means; the rules of order are common practice, no
source.
"""

from dataclasses import replace
from itertools import pairwise
from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deploy.bench.rounds import day
from facility.rules.assignment import Hand, Piece, Plan, assign, follow, shared_out
from facility.rules.assignment.terms import (
    BREAK_MIN,
    FIRST,
    KEPT,
    NO_SKILL,
    NO_TIME,
    NOBODY_ON,
    WINDOW,
    walk_min,
)

_SKILLS = ("photometer", "quarantine")
_SPANS = st.sampled_from([((480, 720),), ((480, 600), (660, 900)), ((720, 1080),)])
_HANDS = st.lists(
    st.builds(
        Hand,
        key=st.text("abcd", min_size=1, max_size=3),
        spans=_SPANS,
        skills=st.frozensets(st.sampled_from(_SKILLS)),
    ),
    max_size=4,
    unique_by=lambda hand: hand.key,
)


@st.composite
def _days(draw: st.DrawFn) -> tuple[list[Piece], list[Hand]]:
    hands = draw(_HANDS)
    count = draw(st.integers(0, 25))
    return [_piece(draw, number, hands) for number in range(count)], hands


def _piece(draw: st.DrawFn, number: int, hands: list[Hand]) -> Piece:
    opens = draw(st.sampled_from([0, 480, 600, 900]))
    minutes = draw(st.integers(1, 60))
    return Piece(
        key=f"{number:02}",
        minutes=minutes,
        opens_min=opens,
        late_min=draw(st.sampled_from([opens + minutes, opens + 180, 1440])),
        rank=draw(st.integers(1, 4)),
        stand=draw(st.integers(0, 5)),
        skill=draw(st.sampled_from(["", "", *_SKILLS])),
        after=f"{draw(st.integers(0, number - 1)):02}" if number and draw(st.booleans()) else "",
        hand=draw(st.sampled_from(["", "", *(hand.key for hand in hands)])),
    )


def _standing(plan: Plan) -> list[tuple[str, Piece]]:
    return [(key, stop.piece) for key, stops in plan.rounds.items() for stop in stops]


@given(_days())
def test_no_task_is_lost_or_doubled(told: tuple[list[Piece], list[Hand]]) -> None:
    pieces, hands = told

    plan = assign(pieces, hands)

    left = [one.piece.key for one in plan.left if one.why != KEPT]
    assert sorted([piece.key for _, piece in _standing(plan)] + left) == [p.key for p in pieces]
    assert plan.rounds.keys() == {hand.key for hand in hands}


@given(_days())
def test_skills_are_respected(told: tuple[list[Piece], list[Hand]]) -> None:
    pieces, hands = told
    by_key = {hand.key: hand for hand in hands}

    assert all(by_key[key].may(piece) for key, piece in _standing(assign(pieces, hands)))


@given(_days())
def test_what_is_fixed_stays_with_its_person(told: tuple[list[Piece], list[Hand]]) -> None:
    pieces, hands = told
    able = {
        (hand.key, p.key) for hand in hands for p in pieces if p.hand == hand.key and hand.may(p)
    }

    standing = {(key, piece.key) for key, piece in _standing(assign(pieces, hands))}

    assert able <= standing


@given(_days())
def test_ranks_never_fall_without_a_break(told: tuple[list[Piece], list[Hand]]) -> None:
    for stops in assign(*told).rounds.values():
        for before, stop in pairwise(stops):
            assert stop.has_break == (stop.piece.rank < before.piece.rank)
            leg = walk_min(before.piece.stand, stop.piece.stand) + BREAK_MIN * stop.has_break
            assert stop.begins_min >= before.ends_min + leg


@given(_days())
def test_everything_is_done_in_its_window_and_in_the_shift(
    told: tuple[list[Piece], list[Hand]],
) -> None:
    pieces, hands = told
    plan = assign(pieces, hands)
    kept = {one.piece.key for one in plan.left}

    for hand in hands:
        for stop in plan.rounds[hand.key]:
            inside = any(a <= stop.begins_min and stop.ends_min <= b for a, b in hand.spans)
            in_window = (
                stop.piece.opens_min <= stop.begins_min and stop.ends_min <= stop.piece.late_min
            )
            assert stop.fits == (inside and in_window)
            assert stop.fits or stop.piece.key in kept


@given(_days())
def test_what_goes_before_is_over_before(told: tuple[list[Piece], list[Hand]]) -> None:
    plan = assign(*told)
    kept = {one.piece.key for one in plan.left}
    stops = {stop.piece.key: stop for stops in plan.rounds.values() for stop in stops}

    for stop in stops.values():
        if stop.piece.after and stop.piece.key not in kept:
            assert stops[stop.piece.after].ends_min <= stop.begins_min


@given(_days())
def test_the_same_question_has_the_same_answer(told: tuple[list[Piece], list[Hand]]) -> None:
    assert assign(*told) == assign(*told)


@given(_days())
def test_the_search_never_makes_it_worse(told: tuple[list[Piece], list[Hand]]) -> None:
    assert assign(*told).cost_min <= shared_out(*told).cost_min + 1e-6


@given(minutes=st.lists(st.integers(1, 30), min_size=1, max_size=30), hands=st.integers(1, 5))
def test_alike_people_get_loads_that_differ_by_one_task_at_most(
    minutes: list[int], hands: int
) -> None:
    """Moving the longest task of the longest round to the shortest would otherwise be cheaper."""
    pieces = [
        Piece(key=f"{n:02}", minutes=each, opens_min=0, late_min=1440)
        for n, each in enumerate(minutes)
    ]

    plan = assign(pieces, [Hand(key=str(n), spans=((0, 1440),)) for n in range(hands)])

    loads = [sum(stop.piece.minutes for stop in stops) for stops in plan.rounds.values()]
    assert max(loads) - min(loads) <= max(minutes)


def test_one_area_is_walked_by_one_person_where_that_is_even() -> None:
    pieces = [
        Piece(key=f"{n:02}", minutes=10, opens_min=0, late_min=1440, stand=n % 2 * 9)
        for n in range(20)
    ]

    plan = assign(pieces, [Hand(key=key, spans=((480, 960),)) for key in "ab"])

    assert [len({stop.piece.stand for stop in stops}) for stops in plan.rounds.values()] == [1, 1]
    assert sum(stop.walk_min for stops in plan.rounds.values() for stop in stops) == 0


def test_clean_comes_before_dirty_although_the_dirty_is_nearer() -> None:
    dirty = Piece(key="1", minutes=10, opens_min=0, late_min=1440, rank=9, stand=0)
    clean = Piece(key="2", minutes=10, opens_min=0, late_min=1440, rank=1, stand=9)

    plan = assign([dirty, clean], [Hand(key="a", spans=((480, 960),))])

    assert [stop.piece.key for stop in plan.rounds["a"]] == ["2", "1"]


def test_an_evening_task_in_a_clean_area_costs_a_break() -> None:
    dirty = Piece(key="1", minutes=10, opens_min=480, late_min=600, rank=9)
    clean = Piece(key="2", minutes=10, opens_min=900, late_min=960, rank=1)

    stops = assign([dirty, clean], [Hand(key="a", spans=((480, 960),))]).rounds["a"]

    assert [(stop.piece.key, stop.has_break) for stop in stops] == [("1", False), ("2", True)]


_HAND = Hand(key="a", spans=((480, 540),))
_TASK = Piece(key="1", minutes=40, opens_min=480, late_min=720)


@pytest.mark.parametrize(
    ("pieces", "hands", "why"),
    [
        ([_TASK], [], NOBODY_ON),
        ([replace(_TASK, skill="photometer")], [_HAND], NO_SKILL),
        ([replace(_TASK, opens_min=600)], [_HAND], WINDOW),
        ([replace(_TASK, minutes=61)], [_HAND], WINDOW),
        ([_TASK, replace(_TASK, key="2")], [_HAND], NO_TIME),
        ([replace(_TASK, skill="photometer"), replace(_TASK, key="2", after="1")], [_HAND], FIRST),
        ([replace(_TASK, hand="a", opens_min=600)], [_HAND], KEPT),
    ],
)
def test_what_does_not_fit_says_why(pieces: list[Piece], hands: list[Hand], why: str) -> None:
    assert assign(pieces, hands).left[-1].why == why


def test_an_order_made_by_hand_shows_what_is_late() -> None:
    stops = list(follow(_HAND, [_TASK, replace(_TASK, key="2", rank=1)]))

    assert [stop.fits for stop in stops] == [True, False]
    assert stops[1].begins_min == 520


@settings(max_examples=3)
@given(seed=st.integers(0, 1000))
def test_a_large_day_is_whole_too(seed: int) -> None:
    pieces, hands = day(seed=seed, pieces=300)

    plan = assign(pieces, hands)

    placed = [piece.key for _, piece in _standing(plan)]
    assert sorted(placed + [one.piece.key for one in plan.left]) == [p.key for p in pieces]


def test_six_hundred_tasks_go_to_twelve_people_within_a_second_of_the_processor() -> None:
    pieces, hands = day(seed=5, pieces=600, hands=12)
    began = process_time()

    assign(pieces, hands)

    assert process_time() - began < 1
