"""Test coverage: nothing averaged away, the missing named with when they were last read.

The rhythms are common practice, no source; the sums are worked out beside each check.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from tanks.queries.coverage import coverage
from tanks.rules.coverage import EVERY, WEEKLY, Seen, missing, next_in_turn, rotation
from tests.cast import NOON, House
from tests.tanks.estate import closed, opened, system_of, vessel_of
from tests.tanks.samples import kit, logged

DAY = timedelta(days=1)
_DAYS = st.none() | st.integers(0, 120)


def _seen(key: str, days: int | None) -> Seen:
    """A tank read in full so many days ago."""
    read = {} if days is None else dict.fromkeys(EVERY, NOON - days * DAY)
    return Seen(key=key, read_at=read)


def test_one_parameter_too_old_is_named_with_its_date() -> None:
    read = dict.fromkeys(EVERY, NOON - DAY) | {"NITRITE": NOON - 8 * DAY}

    [gap] = missing(Seen(key="a", read_at=read), at=NOON)

    assert (gap.parameter, gap.read_at) == ("NITRITE", NOON - 8 * DAY)


def test_what_was_never_read_is_missing() -> None:
    gaps = missing(_seen("a", None), at=NOON)

    assert {gap.parameter: gap.read_at for gap in gaps} == dict.fromkeys(EVERY)


def test_a_tank_is_tested_when_the_last_of_its_parameters_is() -> None:
    read: dict[str, datetime] = dict.fromkeys(WEEKLY, NOON)

    assert Seen(key="a", read_at=read | {"PH": NOON - 3 * DAY}).tested_at == NOON - 3 * DAY
    del read["PH"]
    assert Seen(key="a", read_at=read).tested_at is None


@pytest.mark.parametrize(
    ("tanks", "share_percent", "needed", "turn_days"),
    [
        # A tenth of 30 is 3; of 31 it is 3.1, and no tenth of a tank is tested.
        (30, 10.0, 3, 70),
        (31, 10.0, 4, 70),
        (7, 100.0, 7, 7),
        # 100 / 30 = 3.33 weeks: the fourth week ends the turn.
        (10, 30.0, 3, 28),
        (0, 10.0, 0, 70),
    ],
)
def test_the_share_is_rounded_up(
    tanks: int, share_percent: float, needed: int, turn_days: int
) -> None:
    found = rotation([_seen(str(n), 1) for n in range(tanks)], share_percent=share_percent, at=NOON)

    assert (found.needed, found.turn_days) == (needed, turn_days)


def test_many_tests_of_the_same_tanks_hide_no_tank_that_is_passed_by() -> None:
    often, never, long_ago = _seen("a", 1), _seen("b", None), _seen("c", 71)

    found = rotation([often, never, long_ago], share_percent=10, at=NOON)

    assert (found.tested, found.needed) == (1, 1)
    assert [tank.key for tank in found.behind] == ["b", "c"]
    assert not found.is_met


@given(days=st.lists(_DAYS, max_size=40), share=st.integers(1, 100))
def test_every_tank_is_in_turn_or_named(days: list[int | None], share: int) -> None:
    tanks = [_seen(f"{n:02}", each) for n, each in enumerate(days)]

    found = rotation(tanks, share_percent=share, at=NOON)

    behind = {tank.key for tank in found.behind}
    for tank, each in zip(tanks, days, strict=True):
        assert (tank.key in behind) == (each is None or each > found.turn_days)
    assert found.tested == sum(each is not None and each <= 7 for each in days)
    assert next_in_turn(tanks, len(behind)) == found.behind


@pytest.mark.django_db
def test_a_reading_in_any_tank_of_a_system_counts_for_it_while_the_valve_was_open(
    house: House,
) -> None:
    system, tank = system_of(house), vessel_of(house)
    connection = opened(house, tank, system)
    closed(house, connection, at=NOON + 3 * DAY)
    tan, nitrite = kit(house, "TAN"), kit(house)
    logged(house, tank, tan, "0.5", at=NOON + 2 * DAY)
    logged(house, tank, nitrite, "0.5", at=NOON + 4 * DAY)

    found = coverage(house.site, at=NOON + 5 * DAY)

    [one] = found.systems
    assert one.seen.read_at == {"TAN": NOON + 2 * DAY}
    assert "TAN" not in {gap.parameter for gap in one.missing}
    assert "NITRITE" in {gap.parameter for gap in one.missing}
    assert [lone.water.anchor for lone in found.lone] == [tank]


@pytest.mark.django_db
def test_the_number_of_queries_does_not_grow_with_the_tanks(
    house: House, django_assert_max_num_queries: Callable[[int], AbstractContextManager[Any]]
) -> None:
    for number in range(12):
        vessel_of(house, code=f"A-{number:02}")

    with django_assert_max_num_queries(12):
        found = coverage(house.site, at=NOON + DAY)

    assert (found.rotation.tanks, found.rotation.needed, len(found.turn)) == (12, 2, 2)


@pytest.mark.django_db
def test_the_page_names_what_was_not_read(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON + 10 * DAY)
    system, tank = system_of(house), vessel_of(house)
    logged(house, system, kit(house, "TAN"), "0.5", at=NOON)
    client.force_login(house.hale)

    page = client.get("/coverage/").content.decode()

    assert "1 of 1 not read in time: S-1." in page
    assert "Sun 29 Mar 2026, 13:00" in page
    assert "0 of 1 were read" in page
    assert f"/tanks/{tank.pk}/" in page
    assert "never read in full" in page
