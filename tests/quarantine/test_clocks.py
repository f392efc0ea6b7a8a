"""Clocks from the record: who entered which water, and whom a late comer keeps waiting.

The rule is that of Industry Advice Notice 41-2025 (Australia); its cases are in
``test_clocks_rules.py``. Here it is the book, the valves and the kits that tell.
"""

from datetime import timedelta
from uuid import uuid4

import pytest

from quarantine.commands.stay_rules import (
    AdoptStayRules,
    SetStayRule,
    adopt_stay_rules,
    set_stay_rule,
)
from quarantine.models import Lot
from quarantine.queries.clocks import clock_of, consequences, if_joined, waiting_in
from quarantine.queries.selling import hindrances_to_sale
from tanks.models import Vessel
from tanks.queries.waters import water_of
from tanks.sockets.turning import told_of_opening
from tests.cast import NOON, House
from tests.quarantine.dying import arrived, died
from tests.quarantine.equipment import cleaned, net, used
from tests.quarantine.staying import DAY, HOUR, moved, tank_behind, waited
from tests.tanks.estate import opened
from tests.tanks.samples import kit, logged

FRESH_DAYS = 21


@pytest.fixture
def rack(house: House) -> tuple[Vessel, Vessel, Vessel]:
    """Two tanks and the system they stand open to."""
    system = tank_behind(house, "QS", kind="SYSTEM")
    tanks = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    for tank in tanks:
        opened(house, tank, system, at=NOON)
    return *tanks, system


def ends(house: House, vessel: Vessel, lot: Lot, *, after: timedelta) -> str:
    rows = waiting_in(water_of(vessel, at=NOON + after))
    (one,) = [row for row in rows if row.lot == lot]
    return f"{one.clock.ends_at:%Y-%m-%d}" if one.clock.ends_at else "none"


def test_the_last_to_enter_the_shared_water_sets_the_date_of_all(
    house: House, rack: tuple[Vessel, Vessel, Vessel]
) -> None:
    first, second, _ = rack
    early = arrived(house, first, at=NOON + HOUR)
    assert ends(house, first, early, after=DAY) == "2026-04-19"

    late = arrived(house, second, at=NOON + 7 * DAY)

    assert ends(house, first, early, after=8 * DAY) == "2026-04-26"
    assert ends(house, second, late, after=8 * DAY) == "2026-04-26"


def test_before_a_late_comer_is_saved_it_is_told_whose_date_moves(
    house: House, rack: tuple[Vessel, Vessel, Vessel]
) -> None:
    first, second, _ = rack
    early = arrived(house, first, at=NOON + HOUR)
    spare = tank_behind(house, "Q-9")

    found = consequences(second, at=NOON + 7 * DAY, species=early.species)

    assert [(one.lot, f"{one.old:%d %b}", f"{one.new:%d %b}") for one in found.shifts] == [
        (early, "19 Apr", "26 Apr")
    ]
    assert found.entrant
    assert found.entrant.ends_at == NOON + (7 + FRESH_DAYS) * DAY
    assert [water.anchor for water in found.free] == [spare]


def test_into_a_free_water_nobody_is_kept(
    house: House, rack: tuple[Vessel, Vessel, Vessel]
) -> None:
    arrived(house, rack[0], at=NOON + HOUR)
    spare = tank_behind(house, "Q-9")

    assert consequences(spare, at=NOON + 7 * DAY).shifts == ()


def test_moving_a_lot_into_another_water_is_told_beforehand_and_so_it_becomes(
    house: House, rack: tuple[Vessel, Vessel, Vessel]
) -> None:
    first, _, _ = rack
    early = arrived(house, first, at=NOON + HOUR)
    alone = tank_behind(house, "Q-9")
    other = arrived(house, alone, at=NOON + 2 * DAY)
    at = NOON + 10 * DAY

    foreseen = consequences(first, at=at, lot=other, source=alone)
    moved(house, other, alone, first, at=at)

    (shift,) = foreseen.shifts
    assert (shift.lot, shift.new) == (early, at + FRESH_DAYS * DAY)
    assert clock_of(first, at=at + HOUR).ends_at == shift.new


def test_opening_a_valve_is_told_beforehand(house: House) -> None:
    system, tank = tank_behind(house, "QS", kind="SYSTEM"), tank_behind(house, "Q-1")
    inside, outside = (arrived(house, vessel, at=NOON) for vessel in (system, tank))
    at = NOON + 4 * DAY

    shifts = if_joined(tank, system, at=at)
    said = told_of_opening(tank.pk, system.pk, at)
    opened(house, tank, system, at=at)

    assert {one.lot for one in shifts} == {inside, outside}
    assert {one.new for one in shifts} == {at + FRESH_DAYS * DAY}
    assert len(said) == 2
    assert "The release of L-0001 in QS moves: Sun 19 Apr 2026, 13:00 → Thu 23 Apr" in " ".join(
        said
    )
    assert clock_of(tank, at=at + HOUR).ends_at == at + FRESH_DAYS * DAY


def test_a_net_that_was_not_disinfected_counts_and_one_that_was_does_not(house: House) -> None:
    first, second = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    arrived(house, first, at=NOON)
    kept = arrived(house, second, at=NOON)
    handnet = net(house)
    used(house, handnet, first, at=NOON + DAY)
    cleaned(house, handnet, at=NOON + DAY + HOUR)
    used(house, handnet, second, at=NOON + DAY + 2 * HOUR)
    assert ends(house, second, kept, after=2 * DAY) == "2026-04-19"

    used(house, handnet, first, at=NOON + 3 * DAY, asked=True)
    used(house, handnet, second, at=NOON + 3 * DAY + HOUR, asked=True)

    assert ends(house, second, kept, after=4 * DAY) == "2026-04-22"
    assert ends(house, first, Lot.objects.exclude(pk=kept.pk).get(), after=4 * DAY) == "2026-04-22"


def test_a_cold_day_asks_for_more_days(house: House) -> None:
    """White spot at 10 °C: 4 x (35/4)^(14/17) = 23.9 days, more than three weeks."""
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)
    thermometer = kit(house, "TEMPERATURE", kind="PROBE")
    logged(house, tank, thermometer, "24", at=NOON + HOUR)
    assert ends(house, tank, lot, after=DAY) == "2026-04-19"

    logged(house, tank, thermometer, "10", at=NOON + 2 * DAY)

    assert ends(house, tank, lot, after=3 * DAY) == "2026-04-22"


def test_without_a_logged_temperature_the_life_cycle_is_not_told(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    arrived(house, tank, at=NOON)

    (one,) = waiting_in(water_of(tank, at=NOON + DAY))

    assert [asked.days for asked in one.untold] == [None]
    assert "no temperature was logged" in one.untold[0].why


def test_the_site_s_own_days_hold_from_when_they_are_set(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = waited(house, tank, days=1)
    adopt_stay_rules(AdoptStayRules(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON)
    set_stay_rule(
        SetStayRule(
            id=uuid4(),
            site_id=house.site.pk,
            purpose="QUARANTINE",
            group="FISH",
            water_kind="FRESH",
            jurisdiction="",
            days=45,
            source="The house's veterinarian",
        ),
        by=house.vera,
        at=NOON + HOUR,
    )

    assert clock_of(tank, at=NOON + 2 * HOUR).ends_at == NOON + 44 * DAY
    assert lot.code


def test_animals_rest_before_a_sale_where_the_site_made_the_rule_its_own(house: House) -> None:
    """At least 48 h after receipt: code of the UK ornamental trade association."""
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)
    assert hindrances_to_sale(lot, tank, at=NOON + DAY) == []

    adopt_stay_rules(AdoptStayRules(id=uuid4(), site_id=house.site.pk), by=house.mo, at=NOON)

    (told,) = hindrances_to_sale(lot, tank, at=NOON + DAY)
    assert told == "L-0001 rests until Tue 31 Mar 2026, 13:00: 2 days before a sale."
    assert hindrances_to_sale(lot, tank, at=NOON + 2 * DAY) == []


def test_an_unexplained_death_begins_the_days_anew_where_the_policy_says_so(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)
    died(house, lot, tank, at=NOON + 3 * DAY)

    assert ends(house, tank, lot, after=4 * DAY) == "2026-04-19"


def test_the_page_s_queries_do_not_grow_with_the_lots(
    house: House, django_assert_max_num_queries: object
) -> None:
    tank = tank_behind(house, "Q-1")
    for number in range(6):
        arrived(house, tank, at=NOON + number * HOUR, count=3)

    with django_assert_max_num_queries(30):  # type: ignore[operator]  # pytest-django's own
        assert len(waiting_in(water_of(tank, at=NOON + DAY))) == 6
