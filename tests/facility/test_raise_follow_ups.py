"""What a ledger line makes necessary, whatever app says so."""

from datetime import timedelta

import pytest

from facility.commands.follow_ups import RaiseFollowUps, raise_follow_ups
from facility.models import Entry
from facility.refusals import NotFound
from facility.sockets.follow_ups import FollowUp, follow_ups
from tests.cast import NOON, House

LOOK = FollowUp(
    name="a-test.look",
    of="facility.open-area",
    kind="WALK",
    title="Look round {place}",
    why="It is new.",
    after=(timedelta(hours=1), timedelta(days=1)),
    opens_before=timedelta(hours=2),
    late_after=timedelta(hours=1),
    minutes=5,
    source="a test",
    when={"hygiene_rank": 1},
)


@pytest.mark.django_db
def test_each_span_is_a_task_that_opens_not_before_the_event(house: House) -> None:
    line = Entry.objects.get(kind="facility.open-area")

    with follow_ups.plugged(LOOK):
        first, second = raise_follow_ups(RaiseFollowUps(entry_id=line.pk), by=None, at=NOON)

    assert first.title == "Look round Front room"
    assert (first.opens_at, second.opens_at) == (NOON, NOON + timedelta(hours=22))
    assert {first.raised_by, second.raised_by} == {f"facility.entry:{line.pk}"}


def test_only_lines_whose_rows_hold_what_is_asked_are_events() -> None:
    assert LOOK.follows("facility.open-area", {"rows": [{"hygiene_rank": 1, "name": "x"}]})
    assert not LOOK.follows("facility.open-area", {"rows": [{"hygiene_rank": 2}]})
    assert not LOOK.follows("facility.open-site", {"rows": [{"hygiene_rank": 1}]})


@pytest.mark.django_db
def test_a_line_that_is_not_there_is_refused() -> None:
    with pytest.raises(NotFound):
        raise_follow_ups(RaiseFollowUps(entry_id=0), by=None, at=NOON)
