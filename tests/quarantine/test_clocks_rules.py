"""The clock belongs to the water, and follows it.

Sources: Department of Agriculture, Fisheries and Forestry (Australia), Industry Advice Notice
41-2025 of 17 February 2025, whose rule the constructed cases follow; UF/IFAS Circular 920 for
the slowest day.
"""

from datetime import UTC, datetime, timedelta
from uuid import UUID, uuid5

from quarantine.rules.clocks import (
    COUNT,
    PAUSE,
    RESET,
    Course,
    Disturbance,
    Flow,
    Freed,
    Stay,
    Touch,
    clock_for,
)
from quarantine.rules.histories import History, stays
from tanks.rules.waters import Opening

SPACE = UUID("8f1c5c1e-2f2e-4f0e-9a52-0d7c8f0f3b11")
MARCH_2 = datetime(2026, 3, 2, 9, tzinfo=UTC)
DAY = timedelta(days=1)
LATER = MARCH_2 + 300 * DAY


def named(name: str) -> UUID:
    return uuid5(SPACE, name)


A, B, Z = named("lot A"), named("lot B"), named("lot Z")
Q1, Q2, Q3, SUMP, OTHER = (named(name) for name in ("Q1", "Q2", "Q3", "sump", "other sump"))
FORTNIGHT = {A: 14, B: 14, Z: 14}


def arrives(lot: UUID, vessel: UUID, at: datetime, count: int = 10) -> Flow:
    return Flow(at=at, count=count, to_lot=lot, to_vessel=vessel, is_arrival=True, told="arrived")


def moves(lot: UUID, out: UUID, into: UUID, at: datetime, count: int = 10) -> Flow:
    return Flow(
        at=at, count=count, from_lot=lot, from_vessel=out, to_lot=lot, to_vessel=into, told="moved"
    )


def opened(vessel: UUID, system: UUID, at: datetime, until: datetime | None = None) -> Opening:
    return Opening(vessel=vessel, system=system, since=at, until=until)


SHARED = (opened(Q1, SUMP, MARCH_2 - DAY), opened(Q2, SUMP, MARCH_2 - DAY))


def dates(history: History, *, at: datetime = LATER) -> dict[tuple[UUID, UUID], datetime | None]:
    return {(one.lot, one.vessel): clock_for(one).ends_at for one in stays(history, at=at)}


def only(history: History, lot: UUID, *, at: datetime = LATER) -> Stay:
    (stay,) = [one for one in stays(history, at=at) if one.lot == lot]
    return stay


def test_both_consignments_wait_for_the_last_to_enter_their_water() -> None:
    """Shared sump, 14 days: A enters on 2 March and B on 9 March, both leave on 23 March."""
    history = History(
        flows=(arrives(A, Q1, MARCH_2), arrives(B, Q2, MARCH_2 + 7 * DAY)),
        openings=SHARED,
        days=FORTNIGHT,
    )

    alone = dates(history, at=MARCH_2 + DAY)
    assert alone == {(A, Q1): MARCH_2 + 14 * DAY}
    assert [f"{one:%Y-%m-%d}" for one in alone.values() if one] == ["2026-03-16"]
    both = dates(history)
    assert {one.date().isoformat() for one in both.values() if one} == {"2026-03-23"}


def test_waters_apart_keep_clocks_apart() -> None:
    history = History(
        flows=(arrives(A, Q1, MARCH_2), arrives(B, Q2, MARCH_2 + 7 * DAY)), days=FORTNIGHT
    )

    assert dates(history) == {
        (A, Q1): MARCH_2 + 14 * DAY,
        (B, Q2): MARCH_2 + 21 * DAY,
    }


def test_the_longest_stay_in_the_water_holds_for_all_of_it() -> None:
    history = History(
        flows=(arrives(A, Q1, MARCH_2), arrives(B, Q2, MARCH_2 + DAY)),
        openings=SHARED,
        days={A: 30, B: 7},
    )

    assert set(dates(history).values()) == {MARCH_2 + 31 * DAY}


def test_who_left_before_keeps_what_they_met_until_then() -> None:
    history = History(
        flows=(
            arrives(A, Q1, MARCH_2),
            moves(A, Q1, Q3, MARCH_2 + 3 * DAY),
            arrives(B, Q2, MARCH_2 + 7 * DAY),
        ),
        openings=SHARED,
        days=FORTNIGHT,
    )

    # The move took A into another water, which is an entry there; B came too late to matter.
    assert dates(history) == {(A, Q3): MARCH_2 + 17 * DAY, (B, Q2): MARCH_2 + 21 * DAY}


def test_moving_within_one_water_enters_nothing() -> None:
    history = History(
        flows=(arrives(A, Q1, MARCH_2), moves(A, Q1, Q2, MARCH_2 + 5 * DAY)),
        openings=SHARED,
        days=FORTNIGHT,
    )

    assert dates(history) == {(A, Q2): MARCH_2 + 14 * DAY}


def test_a_valve_lets_each_side_enter_the_other() -> None:
    history = History(
        flows=(arrives(A, Q1, MARCH_2), arrives(B, Q3, MARCH_2 + 2 * DAY)),
        openings=(*SHARED, opened(Q3, SUMP, MARCH_2 + 10 * DAY)),
        days=FORTNIGHT,
    )

    assert set(dates(history).values()) == {MARCH_2 + 24 * DAY}
    assert only(history, A).last.how == "VALVE"  # type: ignore[union-attr]  # it has entries


def test_a_valve_to_water_without_animals_enters_nothing_unless_they_left_lately() -> None:
    joined = opened(Q3, SUMP, MARCH_2 + 10 * DAY)
    empty = History(flows=(arrives(A, Q1, MARCH_2),), openings=(*SHARED, joined), days=FORTNIGHT)
    left = History(
        flows=(
            arrives(A, Q1, MARCH_2),
            arrives(B, Q3, MARCH_2),
            Flow(at=MARCH_2 + 8 * DAY, count=10, from_lot=B, from_vessel=Q3),
        ),
        openings=(*SHARED, joined),
        days=FORTNIGHT,
    )

    assert dates(empty) == {(A, Q1): MARCH_2 + 14 * DAY}
    assert dates(left) == {(A, Q1): MARCH_2 + 24 * DAY}


def test_a_net_carries_one_water_into_another_and_not_back() -> None:
    history = History(
        flows=(arrives(A, Q1, MARCH_2), arrives(B, Q3, MARCH_2)),
        touches=(Touch(at=MARCH_2 + 4 * DAY, from_vessel=Q1, to_vessel=Q3, told="net N1"),),
        days=FORTNIGHT,
    )

    assert dates(history) == {(A, Q1): MARCH_2 + 14 * DAY, (B, Q3): MARCH_2 + 18 * DAY}


def test_a_released_lot_disturbs_no_released_water_but_a_new_one_does() -> None:
    released = Freed(at=MARCH_2 + 14 * DAY, lot=A, vessel=Q1)
    history = History(
        flows=(
            Flow(at=MARCH_2 - 9 * DAY, count=5, to_lot=Z, to_vessel=Q3, told="found"),
            arrives(A, Q1, MARCH_2),
            moves(A, Q1, Q3, MARCH_2 + 15 * DAY),
        ),
        freed=(released,),
        days=FORTNIGHT,
    )

    assert all(one.is_settled for one in stays(history, at=LATER))
    late = arrives(B, Q3, MARCH_2 + 20 * DAY)
    after = History(flows=(*history.flows, late), freed=history.freed, days=FORTNIGHT)
    assert set(dates(after).values()) == {MARCH_2 + 34 * DAY}
    assert not any(one.is_settled for one in stays(after, at=LATER))


def test_the_young_wait_with_those_whose_water_they_were_born_in() -> None:
    history = History(
        flows=(
            arrives(A, Q1, MARCH_2),
            Flow(at=MARCH_2 + 3 * DAY, count=40, to_lot=Z, to_vessel=Q2, told="bred"),
        ),
        openings=SHARED,
        days=FORTNIGHT,
    )

    assert set(dates(history).values()) == {MARCH_2 + 14 * DAY}


def disturbed(course: Course, *, days: tuple[int, int | None]) -> datetime | None:
    begun, ended = days
    history = History(
        flows=(arrives(A, Q1, MARCH_2),),
        disturbances=(
            Disturbance(
                at=MARCH_2 + begun * DAY,
                vessel=Q1,
                course=course,
                told="copper course",
                until=None if ended is None else MARCH_2 + ended * DAY,
            ),
        ),
        days=FORTNIGHT,
    )
    return clock_for(only(history, A)).ends_at


def test_policy_says_whether_days_of_treatment_count() -> None:
    assert disturbed(COUNT, days=(2, 8)) == MARCH_2 + 14 * DAY
    assert disturbed(PAUSE, days=(2, 8)) == MARCH_2 + 20 * DAY
    assert disturbed(RESET, days=(2, 8)) == MARCH_2 + 22 * DAY
    assert disturbed(COUNT, days=(2, None)) == MARCH_2 + 14 * DAY
    assert disturbed(PAUSE, days=(2, None)) is None
    assert disturbed(RESET, days=(2, None)) is None
    assert disturbed(PAUSE, days=(20, 30)) == MARCH_2 + 14 * DAY


def test_overlapping_pauses_are_not_counted_twice() -> None:
    spans = ((2, 8), (5, 10))
    history = History(
        flows=(arrives(A, Q1, MARCH_2),),
        disturbances=tuple(
            Disturbance(
                at=MARCH_2 + begun * DAY,
                vessel=Q1,
                course=PAUSE,
                told=f"course from day {begun}",
                until=MARCH_2 + ended * DAY,
            )
            for begun, ended in spans
        ),
        days=FORTNIGHT,
    )

    assert dates(history) == {(A, Q1): MARCH_2 + 22 * DAY}


def test_a_slower_life_cycle_asks_for_more_days_and_a_faster_one_for_no_fewer() -> None:
    stay = only(History(flows=(arrives(A, Q1, MARCH_2),), days=FORTNIGHT), A)

    assert clock_for(stay, lambda _: 35).ends_at == MARCH_2 + 35 * DAY
    assert clock_for(stay, lambda _: 4).ends_at == MARCH_2 + 14 * DAY
