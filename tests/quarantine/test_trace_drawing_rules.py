"""A lane stands below the one it was reached through, and counts from when it was reached."""

from datetime import UTC, datetime, timedelta

from quarantine.rules.trace_drawing import Drawing, Lane, drawn
from tests.cast import NOON

DAY = timedelta(days=1)


def lane(key: str, day: float, parent: str = "") -> Lane:
    return Lane(key=key, name=key, at=NOON + day * DAY, parent=parent, letter="A")


def drawing(*lanes: Lane, is_forward: bool = True) -> Drawing:
    return drawn(
        lanes, since=NOON, until=NOON + 10 * DAY, is_forward=is_forward, width=228, zone=UTC
    )


def test_each_stands_below_the_one_it_was_reached_through() -> None:
    found = drawing(lane("A", 0), lane("B", 2, "A"), lane("C", 3, "A"), lane("D", 4, "B"))

    assert [band.lane.key for band in found.bands] == ["A", "B", "D", "C"]
    assert all(tie.top < tie.bottom for tie in found.ties)
    assert len(found.ties) == 3


def test_forward_a_lane_counts_to_the_end_and_backward_from_the_beginning() -> None:
    """The page is 200 pixels between its margins: day 5 of 10 is its middle."""
    ahead, back = drawing(lane("B", 5)), drawing(lane("B", 5), is_forward=False)

    assert (ahead.bands[0].x, ahead.bands[0].width) == (114, 100)
    assert (back.bands[0].x, back.bands[0].width) == (14, 100)


def test_lanes_reached_through_one_another_are_drawn_once() -> None:
    found = drawing(lane("A", 1, "B"), lane("B", 1, "A"))

    assert [band.lane.key for band in found.bands] == ["A", "B"]


def test_what_lies_outside_the_period_is_drawn_at_its_edge() -> None:
    found = drawn(
        [lane("A", -3)],
        since=NOON,
        until=datetime(2026, 4, 8, 12, tzinfo=UTC),
        is_forward=True,
        width=228,
        zone=UTC,
    )

    assert found.bands[0].x == 14
    assert [tick.label for tick in found.ticks][0::4] == ["29 Mar", "08 Apr"]
