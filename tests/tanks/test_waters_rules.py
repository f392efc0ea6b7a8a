"""The water graph, checked by its definition: no other source is needed.

Two vessels are in one water if and only if a path of open valves leads from one to the other.
"""

import itertools
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.waters import Opening, members_at, net_litres, spans, waters_at

NOON = datetime(2026, 3, 29, 12, tzinfo=UTC)
VESSELS = [UUID(int=number) for number in range(1, 9)]

moments = st.integers(0, 20).map(lambda hour: NOON + timedelta(hours=hour))


@st.composite
def graphs(draw: st.DrawFn) -> list[Opening]:
    """Any openings at all, loops and repeats included."""
    links = []
    for _ in range(draw(st.integers(0, 12))):
        vessel, system = draw(st.permutations(VESSELS))[:2]
        since = draw(moments)
        lasts = draw(st.none() | st.integers(1, 10))
        until = None if lasts is None else since + timedelta(hours=lasts)
        links.append(Opening(vessel=vessel, system=system, since=since, until=until))
    return links


@given(graphs(), moments)
def test_waters_part_the_vessels(links: list[Opening], at: datetime) -> None:
    waters = waters_at(VESSELS, links, at=at)

    members = [vessel for water in waters for vessel in water]
    assert sorted(members, key=int) == VESSELS


@given(graphs(), moments)
def test_two_vessels_share_water_when_open_valves_lead_from_one_to_the_other(
    links: list[Opening], at: datetime
) -> None:
    waters = waters_at(VESSELS, links, at=at)

    for vessel in VESSELS:
        water = next(water for water in waters if vessel in water)
        assert water == _reached(vessel, [link for link in links if link.holds_at(at)])


@given(graphs(), moments, st.dictionaries(st.sampled_from(VESSELS), st.integers(1, 5000)))
def test_volumes_of_the_waters_add_up_to_those_of_the_vessels(
    links: list[Opening], at: datetime, litres: dict[UUID, int]
) -> None:
    sums = [net_litres(water, litres) for water in waters_at(VESSELS, links, at=at)]

    assert sum(total for total, _ in sums) == sum(litres.values())
    unmeasured = frozenset().union(*(missing for _, missing in sums))
    assert unmeasured == set(VESSELS) - litres.keys()


@given(graphs(), st.sampled_from(VESSELS))
def test_spans_follow_on_one_another_and_say_what_each_moment_says(
    links: list[Opening], vessel: UUID
) -> None:
    until = NOON + timedelta(hours=40)

    found = list(spans(vessel, links, since=NOON, until=until))

    assert (found[0].since, found[-1].until) == (NOON, until)
    for earlier, later in itertools.pairwise(found):
        assert earlier.until == later.since
        assert earlier.members != later.members
    for span in found:
        assert span.members == members_at(vessel, links, at=span.since)


def test_valve_counts_from_its_opening_until_before_its_closing() -> None:
    tank, system = VESSELS[:2]
    until = NOON + timedelta(hours=2)
    links = [Opening(vessel=tank, system=system, since=NOON, until=until)]
    instant = timedelta(microseconds=1)

    together = {
        at: system in members_at(tank, links, at=at)
        for at in (NOON - instant, NOON, until - instant, until)
    }

    assert list(together.values()) == [False, True, True, False]


def test_loop_of_systems_is_one_water_however_it_closes() -> None:
    one, two, three = VESSELS[:3]
    ring = [
        Opening(vessel=one, system=two, since=NOON),
        Opening(vessel=two, system=three, since=NOON),
        Opening(vessel=three, system=one, since=NOON),
    ]

    assert members_at(one, ring, at=NOON) == {one, two, three}
    assert members_at(one, ring[:2], at=NOON) == {one, two, three}


def _reached(start: UUID, links: Iterable[Opening]) -> frozenset[UUID]:
    """Walk through open valves until nothing new is reached."""
    links = list(links)
    reached = {start}
    while True:
        pairs = [{link.vessel, link.system} for link in links]
        wider = reached.union(*(pair for pair in pairs if pair & reached))
        if wider == reached:
            return frozenset(reached)
        reached = wider
