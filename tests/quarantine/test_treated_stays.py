"""A course of treatment keeps animals in, and does to their clock what the policy says.

Whether days of treatment count is a site's own policy; common practice, no source.
"""

from uuid import uuid4

from quarantine.commands.course_ends import AbandonCourse, abandon_course
from quarantine.commands.findings import log_finding
from quarantine.commands.stay_rules import set_stay_policy
from quarantine.queries.clocks import waiting_in
from quarantine.queries.judging import judged_out
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.contracts.stay_acts import to_set_stay_policy
from tests.quarantine.dying import arrived, died, examined, finding_of
from tests.quarantine.staying import DAY, HOUR, tank_behind
from tests.quarantine.treating import Told, tank_of, told_course


def treated(house: House) -> Told:
    """A lot that arrived at noon, and a course from the second day on."""
    tank = tank_of(house)
    arrived(house, tank, at=NOON)
    return told_course(house, at=NOON + 2 * DAY, vessel=tank)


def abandoned(told: Told, *, days: int) -> None:
    at = NOON + days * DAY
    command = AbandonCourse(
        id=uuid4(), course_id=told.course.pk, note="They stopped eating", happened_at=at
    )
    abandon_course(command, by=told.house.vera, at=at)


def ends(told: Told, *, days: int) -> str:
    (one,) = waiting_in(water_of(told.vessel, at=NOON + days * DAY))
    return f"{one.clock.ends_at:%Y-%m-%d}" if one.clock.ends_at else " and ".join(one.clock.waits)


def test_while_a_course_is_open_no_date_can_be_told(house: House) -> None:
    told = treated(house)

    assert "course of" in ends(told, days=3)
    (one,) = waiting_in(water_of(told.vessel, at=NOON + 3 * DAY))
    found = judged_out(one.lot, told.vessel, count=1, at=NOON + 3 * DAY)
    assert {"courses", "days"} <= {row.code for row in found if row.state == "not-met"}


def test_days_of_a_course_do_not_count_by_the_shipped_policy(house: House) -> None:
    told = treated(house)
    abandoned(told, days=8)

    # Three weeks from 29 March are full on 19 April; six days of it did not count.
    assert ends(told, days=9) == "2026-04-25"
    (one,) = waiting_in(water_of(told.vessel, at=NOON + 60 * DAY))
    found = judged_out(one.lot, told.vessel, count=1, at=NOON + 60 * DAY)
    (course,) = [row for row in found if row.code == "courses"]
    assert "the water is not cleared of it" in course.sentence


def test_where_the_policy_says_so_the_count_begins_anew_with_the_last_day(house: House) -> None:
    told = treated(house)
    set_stay_policy(to_set_stay_policy(house), by=house.vera, at=NOON + 2 * DAY)
    abandoned(told, days=8)

    assert ends(told, days=9) == "2026-04-27"


def test_an_unexplained_death_counts_until_a_necropsy_explains_it(house: House) -> None:
    set_stay_policy(to_set_stay_policy(house), by=house.vera, at=NOON)
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)
    death = died(house, lot, tank, at=NOON + 3 * DAY)
    (one,) = waiting_in(water_of(tank, at=NOON + 4 * DAY))
    assert f"{one.clock.ends_at:%Y-%m-%d}" == "2026-04-22"

    examined(house, death, at=NOON + 3 * DAY + HOUR, cause="INJURY")

    (one,) = waiting_in(water_of(tank, at=NOON + 4 * DAY))
    assert f"{one.clock.ends_at:%Y-%m-%d}" == "2026-04-19"


def test_a_pathogen_found_begins_the_count_anew_by_the_shipped_policy(house: House) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=NOON)
    found = finding_of(at=NOON + 5 * DAY, lot_id=lot.pk, result="POSITIVE", positive=2)
    log_finding(found, by=house.ana, at=NOON + 5 * DAY)

    (one,) = waiting_in(water_of(tank, at=NOON + 6 * DAY))

    assert f"{one.clock.ends_at:%Y-%m-%d}" == "2026-04-24"
