"""What a site's records say about who may have reached whom.

T26 is the constructed case of an edge before the exposure; the others are worked out by hand.
"""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from facility.commands.breaks import TakeBreak, take_break
from facility.models import Site
from quarantine.queries.tracing import Traced, subject_named, trace_from
from quarantine.rules.tracing import Direction, Kind
from tanks.models import Vessel
from tests.cast import NOON, House
from tests.quarantine.equipment import (
    HOUR,
    begun,
    cleaned,
    lot_in,
    moved,
    net,
    rinsed,
    used,
)
from tests.tanks.estate import closed, opened, system_of, vessel_of
from tests.tanks.samples import kit as method_of
from tests.tanks.samples import logged

pytestmark = pytest.mark.django_db

DAY = timedelta(days=1)
FORWARD, BACKWARD = Direction.FORWARD, Direction.BACKWARD


def traced(
    site: Site, row: object, *, day: float = 0, direction: Direction = FORWARD, table: str = ""
) -> Traced:
    """From the ``day`` after noon to day 30, or back from day 30 to noon."""
    key = f"{table or 'tanks.vessel'}:{row.pk}"  # type: ignore[attr-defined]  # any of our rows
    found = trace_from(
        site, key, direction=direction, since=NOON + day * DAY, until=NOON + 30 * DAY
    )
    assert found is not None
    return found


def names(found: Traced) -> set[str]:
    return {stop.place.name for stop in found.stops if stop.place != found.subject}


def tanks(house: House, *codes: str) -> list[Vessel]:
    return [vessel_of(house, code=code) for code in codes]


def on(day: float) -> datetime:
    return NOON + day * DAY


def test_t26_what_left_before_the_net_came_is_not_reached(house: House) -> None:
    """A→net→B on day 3, B→move→C on day 2; from A, ill on day 1: B, and not C."""
    a, b, c = tanks(house, "A", "B", "C")
    lot, kit = lot_in(house, b), net(house)
    moved(house, lot, b, c, count=4, at=on(2))
    used(house, kit, a, at=on(3))
    used(house, kit, b, at=on(3) + HOUR, asked=True)

    found = traced(house.site, a, day=1)

    assert {name for name in names(found) if len(name) == 1} == {"B"}
    assert [one.lot for one in found.lots] == [lot]
    assert found.lots[0].vessels == ("B",)


def test_the_way_tells_each_edge_with_its_evidence(house: House) -> None:
    a, b = tanks(house, "A", "B")
    kit = net(house)
    used(house, kit, a, at=on(3))
    used(house, kit, b, at=on(3) + HOUR, asked=True)

    found = traced(house.site, a, day=1)

    way = next(stop.way for stop in found.stops if stop.place.name == "B")
    assert [edge.kind for edge in way] == [Kind.EQUIPMENT, Kind.EQUIPMENT]
    assert [edge.evidence for edge in way] == [
        "N-03 was used in A (Ana Quill)",
        "N-03 was used in B (Ana Quill)",
    ]


def test_a_cleaned_net_carries_nothing_and_that_is_told(house: House) -> None:
    """Tanks far enough apart that no person's hands tie them."""
    a, b = tanks(house, "A", "B")
    kit = net(house)
    used(house, kit, a, at=on(3))
    cleaned(house, kit, at=on(3) + HOUR)
    used(house, kit, b, at=on(4))

    found = traced(house.site, a, day=1)

    assert "B" not in names(found)
    assert [edge.barrier for edge in found.barriers] == [
        "N-03 was cleaned: Bleach bath, 200 mg/L as Cl2, 10 min (Ana Quill)"
    ]


def test_an_open_valve_counts_as_long_as_it_is_open(house: House) -> None:
    a, b, c = tanks(house, "A", "B", "C")
    system = system_of(house)
    opened(house, a, system, valve="V1")
    closed(house, opened(house, b, system), at=on(2))
    opened(house, c, system, at=on(6))

    found = traced(house.site, a, day=3)

    assert names(found) - {"Mo Tarrant"} == {"S-1", "C"}
    reached = {stop.place.name: stop for stop in found.stops}
    assert (reached["S-1"].at, reached["C"].at) == (on(3), on(6))
    assert reached["S-1"].way[0].evidence == "A stood open to S-1 by V1"


def test_hands_without_a_break_are_a_way_and_with_one_are_not(house: House) -> None:
    a, b, c = tanks(house, "A", "B", "C")
    ph = method_of(house, "PH")
    logged(house, a, ph, "7.8", at=on(1))
    logged(house, b, ph, "7.8", at=on(1) + HOUR)
    take_break(
        TakeBreak(
            id=uuid4(),
            site_id=house.site.pk,
            from_rank=5,
            to_rank=1,
            kit_changed=True,
            hands_disinfected=True,
            happened_at=on(1) + 2 * HOUR,
        ),
        by=house.ana,
        at=on(1) + 2 * HOUR,
    )
    logged(house, c, ph, "7.8", at=on(1) + 3 * HOUR)

    found = traced(house.site, a)

    assert names(found) == {"Ana Quill", "B"}
    assert [edge.barrier for edge in found.barriers] == [
        "Ana Quill changed kit and disinfected hands"
    ]


def test_what_a_person_did_first_is_not_reached_by_what_came_after(house: House) -> None:
    a, b = tanks(house, "A", "B")
    ph = method_of(house, "PH")
    logged(house, a, ph, "7.8", at=on(1))
    logged(house, b, ph, "7.8", at=on(1) + HOUR)

    assert "A" not in names(traced(house.site, b))
    assert "A" in names(traced(house.site, b, direction=BACKWARD))


def test_after_a_night_off_a_person_is_another_carrier(house: House) -> None:
    a, b = tanks(house, "A", "B")
    ph = method_of(house, "PH")
    logged(house, a, ph, "7.8", at=on(1))
    logged(house, b, ph, "7.8", at=on(1) + 20 * HOUR)

    assert names(traced(house.site, a)) == {"Ana Quill"}


def test_feed_reaches_every_tank_it_was_given_in_and_carries_nothing_on(house: House) -> None:
    a, b = tanks(house, "A", "B")
    batch = net(house, code="Flakes 11", kind="FEED_BATCH")
    used(house, batch, a, at=on(1))
    used(house, batch, b, at=on(3))

    assert "B" not in names(traced(house.site, a))
    assert names(traced(house.site, batch, table="quarantine.kit")) >= {"A", "B"}
    assert "Flakes 11" in names(traced(house.site, b, direction=BACKWARD))


def test_a_reset_tank_passes_nothing_on(house: House) -> None:
    a, b = tanks(house, "A", "B")
    system = system_of(house)
    rinsed(house, begun(house, a, at=on(3)))
    opened(house, a, system, at=on(5))
    opened(house, b, system, at=on(5))
    kit = net(house)
    used(house, kit, a, at=on(1))

    found = traced(house.site, kit, table="quarantine.kit")

    assert "B" not in names(found)
    assert "A was reset: 200 mg/L chlorine for 60 min" in {one.barrier for one in found.barriers}


def test_a_lot_is_traced_from_every_tank_it_was_in(house: House) -> None:
    a, b = tanks(house, "A", "B")
    lot = lot_in(house, a)
    moved(house, lot, a, b, count=12, at=on(2))
    other = lot_in(house, a, at=on(3), species="Corydoras panda")

    found = traced(house.site, lot, table="quarantine.lot")

    assert names(found) == {"A", "B"}
    assert {one.lot.code: one.is_there for one in found.lots} == {lot.code: True, other.code: True}


def test_a_lot_that_came_after_the_last_contact_is_not_reached_backward(house: House) -> None:
    a, b = tanks(house, "A", "B")
    lot = lot_in(house, a)
    moved(house, lot, a, b, count=4, at=on(2))
    late = lot_in(house, a, at=on(3), species="Corydoras panda")

    found = traced(house.site, b, direction=BACKWARD)

    assert late not in {one.lot for one in found.lots}
    assert [one.lot for one in found.lots] == [lot]


def test_people_call_a_subject_by_its_code(house: House) -> None:
    (a,) = tanks(house, "A")
    lot, kit = lot_in(house, a), net(house)

    assert subject_named(house.site, "a") == f"tanks.vessel:{a.pk}"
    assert subject_named(house.site, "L-0001") == f"quarantine.lot:{lot.pk}"
    assert subject_named(house.site, "n-03") == f"quarantine.kit:{kit.pk}"
    assert subject_named(house.site, "ana") == f"facility.person:{house.ana.pk}"
    assert subject_named(house.site, "Z-99") is None


def test_another_site_is_no_subject_here(house: House) -> None:
    found = trace_from(
        house.site, f"tanks.vessel:{uuid4()}", direction=FORWARD, since=NOON, until=on(1)
    )

    assert found is None
