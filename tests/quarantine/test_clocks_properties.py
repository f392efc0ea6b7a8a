"""Whatever happens in a house, a valve makes no release earlier, and waiting moves no date.

Histories are drawn at random: arrivals, moves, valves turned, courses and releases.
"""

from datetime import datetime, timedelta
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.clocks import COUNT, PAUSE, RESET, Disturbance, Freed, clock_for
from quarantine.rules.histories import History, stays
from tests.quarantine.test_clocks_rules import (
    MARCH_2,
    OTHER,
    SUMP,
    arrives,
    dates,
    moves,
    named,
    opened,
)

LOTS = tuple(named(f"lot {number}") for number in range(4))
TANKS = tuple(named(f"tank {number}") for number in range(4))
SYSTEMS = (SUMP, OTHER)
hours = st.integers(min_value=0, max_value=600)


def moment(hour: int) -> datetime:
    return MARCH_2 + timedelta(hours=hour)


@st.composite
def histories(draw: st.DrawFn) -> History:
    """Arrivals, moves, valves turned, nets, courses and releases, in any order."""
    flows = [
        arrives(draw(st.sampled_from(LOTS)), draw(st.sampled_from(TANKS)), moment(draw(hours)))
        for _ in range(draw(st.integers(1, 4)))
    ]
    flows += [
        moves(
            draw(st.sampled_from(LOTS)),
            draw(st.sampled_from(TANKS)),
            draw(st.sampled_from(TANKS)),
            moment(draw(hours)),
            draw(st.integers(1, 6)),
        )
        for _ in range(draw(st.integers(0, 3)))
    ]
    openings = []
    for _ in range(draw(st.integers(0, 4))):
        since, length = draw(hours), draw(st.integers(1, 300))
        until = moment(since + length) if draw(st.booleans()) else None
        openings.append(
            opened(
                draw(st.sampled_from(TANKS)), draw(st.sampled_from(SYSTEMS)), moment(since), until
            )
        )
    return History(
        flows=tuple(flows),
        openings=tuple(openings),
        disturbances=tuple(draw(st.lists(disturbances(), max_size=2))),
        freed=tuple(draw(st.lists(releases(), max_size=2))),
        days={lot: draw(st.integers(1, 40)) for lot in LOTS},
    )


@st.composite
def disturbances(draw: st.DrawFn) -> Disturbance:
    hour = draw(hours)
    return Disturbance(
        at=moment(hour),
        vessel=draw(st.sampled_from(TANKS)),
        course=draw(st.sampled_from([COUNT, PAUSE, RESET])),
        told="course",
        until=draw(st.sampled_from([None, moment(hour + 60)])),
    )


@st.composite
def releases(draw: st.DrawFn) -> Freed:
    return Freed(
        at=moment(draw(hours)),
        lot=draw(st.sampled_from(LOTS)),
        vessel=draw(st.sampled_from(TANKS)),
    )


@given(histories(), st.sampled_from(TANKS), st.sampled_from(SYSTEMS), st.integers(601, 700))
def test_opening_a_valve_makes_no_release_earlier(
    history: History, tank: UUID, system: UUID, hour: int
) -> None:
    at = moment(hour)
    turned = History(
        flows=history.flows,
        openings=(*history.openings, opened(tank, system, at)),
        disturbances=history.disturbances,
        freed=history.freed,
        days=history.days,
    )
    before, after = dates(history, at=at), dates(turned, at=at)

    assert before.keys() == after.keys()
    for key, date in before.items():
        later = after[key]
        assert later is None or (date is not None and later >= date) or date is None
        assert not (date is None and later is not None and not _had_no_clock(history, key, at))


def _had_no_clock(history: History, key: tuple[UUID, UUID], at: datetime) -> bool:
    """A lot nothing ever entered has no date; it may get its first one."""
    (stay,) = [one for one in stays(history, at=at) if (one.lot, one.vessel) == key]
    return not stay.entries and not clock_for(stay).waits


@given(histories(), st.integers(601, 700), st.integers(0, 2000))
def test_waiting_moves_no_date(history: History, hour: int, more: int) -> None:
    """Nothing happens meanwhile: what is over stays over, and no date comes nearer or goes."""
    at, then = moment(hour), moment(hour + more)

    assert dates(history, at=at) == dates(history, at=then)
    for stay in stays(history, at=at):
        clock = clock_for(stay)
        assert clock.is_over(then) or not clock.is_over(at)
