"""What a week's and a month's report say: by water, by local time, as it stood at the end."""

from datetime import UTC, date, datetime, timedelta
from typing import Any, Final

import pytest

from facility.models import Site
from facility.rules.periods import MONTH, WEEK, Period, period_of
from facility.sockets.paper import Section, Table
from tanks.models import Limit, Method
from tanks.paper import compliance as compliance_paper
from tanks.paper import weekly
from tanks.queries.compliance import month
from tanks.queries.weeks import week
from tests.cast import NOON, House
from tests.facility.working import answered, asked
from tests.tanks.estate import opened, system_of, vessel_of
from tests.tanks.exceeding import acted
from tests.tanks.samples import kit, logged

pytestmark = pytest.mark.django_db
HOUR, DAY = timedelta(hours=1), timedelta(days=1)
# In Lisbon the clocks go forward at 01:00 UTC on 29 March 2026, the day of NOON.
THIS: Final = period_of(WEEK, date(2026, 3, 29))
MARCH: Final = period_of(MONTH, date(2026, 3, 29))
MIDNIGHT: Final = datetime(2026, 3, 29, 23, tzinfo=UTC)


@pytest.fixture
def nitrite(house: House) -> Method:
    return kit(house, "NITRITE")


def told(site: Site, period: Period = THIS) -> dict[str, Any]:
    return week(site, period) if period.kind == WEEK else month(site, period)


def only(rows: list[dict[str, Any]]) -> dict[str, Any]:
    (row,) = rows
    return row


def table(sections: tuple[Section, ...], title: str) -> Table:
    section = next(one for one in sections if one.title == title)
    return next(block for block in section.blocks if isinstance(block, Table))


def test_a_week_tells_each_parameter_of_each_water(house: House, nitrite: Method) -> None:
    tank, system = vessel_of(house), system_of(house)
    opened(house, tank, system)
    for hours, text in enumerate(("<0.05", "0.02", "0.04")):
        logged(house, tank if hours else system, nitrite, text, at=NOON + hours * HOUR)

    content = told(house.site)

    row = only(content["readings"])
    assert content["waters"][0]["code"] == "S-1"
    assert row["water"] == str(system.pk)
    assert (row["count"], row["least"], row["median"], row["greatest"], row["out"]) == (
        3,
        "below 0.05",
        "0.02",
        "below 0.05",
        0,
    )


@pytest.mark.parametrize(
    ("moment", "is_in"),
    [(MIDNIGHT - timedelta(seconds=1), True), (MIDNIGHT, False), (NOON, True)],
)
def test_the_week_ends_at_midnight_by_the_clock_of_the_site(
    house: House, nitrite: Method, moment: datetime, *, is_in: bool
) -> None:
    logged(house, vessel_of(house), nitrite, "0.02", at=moment)

    assert bool(told(house.site)["readings"]) is is_in


@pytest.mark.parametrize(
    ("moment", "is_in"),
    [
        ("2026-04-30T22:59:59Z", True),  # a second before midnight there, in summer time
        ("2026-04-30T23:00:00Z", False),
        ("2026-03-31T23:00:00Z", True),
        ("2026-03-31T22:59:59Z", False),
    ],
)
def test_the_month_ends_at_midnight_too(
    house: House, nitrite: Method, moment: str, *, is_in: bool
) -> None:
    logged(house, vessel_of(house), nitrite, "0.02", at=datetime.fromisoformat(moment))

    assert bool(month(house.site, period_of(MONTH, date(2026, 4, 1)))["readings"]) is is_in


def test_scales_of_ph_are_not_mixed(house: House) -> None:
    tank = vessel_of(house)
    logged(house, tank, kit(house, "PH"), "8.2")
    logged(house, tank, kit(house, "PH", name="Pen", basis="TOTAL"), "8.1", at=NOON + HOUR)

    rows = told(house.site)["readings"]

    assert [(row["unit"], row["count"]) for row in rows] == [("NBS scale", 1), ("total scale", 1)]


def test_an_exceedance_is_told_with_its_length_act_and_retest(
    house: House, nitrite: Method
) -> None:
    tank = vessel_of(house)
    broken = logged(house, tank, nitrite, "0.5")
    logged(house, tank, nitrite, "1", at=NOON + HOUR)
    acted(house, broken, at=NOON + 2 * HOUR)
    logged(house, tank, nitrite, "0.05", at=NOON + 5 * HOUR)

    one = only(told(house.site)["exceedances"])

    assert one["minutes"] == 300
    assert (one["first"]["text"], one["worst"]["text"]) == ("0.5 mg/L as N", "1 mg/L as N")
    assert (one["readings"], one["passed"]["text"]) == (2, "0.05 mg/L as N")
    assert only(one["actions"]) == {
        "at": "2026-03-29T14:00:00.000000+00:00",
        "what": "Changed water: A third",
        "by": "Ana Quill",
    }
    assert one["verified"] is False


def test_what_came_after_the_end_is_not_told(house: House, nitrite: Method) -> None:
    """So the same report made later is the same while nothing of its time changes."""
    tank = vessel_of(house)
    broken = logged(house, tank, nitrite, "0.5")
    before = told(house.site)

    acted(house, broken, at=MIDNIGHT + HOUR)
    logged(house, tank, nitrite, "0.05", at=MIDNIGHT + 2 * HOUR)

    assert told(house.site) == before
    assert only(before["exceedances"])["passed"] is None


def test_what_was_open_before_is_told_until_it_ends(house: House, nitrite: Method) -> None:
    tank = vessel_of(house)
    logged(house, tank, nitrite, "0.5")
    logged(house, tank, nitrite, "0.05", at=NOON + 9 * DAY)
    nexts = [period_of(WEEK, date(2026, 3, 30) + n * 7 * DAY) for n in range(3)]

    first, second, third = (told(house.site, period)["exceedances"] for period in nexts)

    assert (only(first)["began_before"], only(first)["passed"]) == (True, None)
    assert only(second)["passed"]["text"] == "0.05 mg/L as N"
    assert third == []


def test_tests_are_told_done_not_done_and_never_answered(house: House) -> None:
    tank = vessel_of(house)
    about: dict[str, Any] = {"kind": "TEST", "about": f"tanks.vessel:{tank.pk}"}
    answered(asked(house, title="Read pH", **about), by=house.ana)
    left_out = asked(house, title="Read TAN", **about)
    answered(left_out, by=house.ana, outcome="NOT_DONE", why_not="Kit is empty")
    asked(house, title="Read nitrite", **about)
    asked(house, title="Walk")

    content = told(house.site)["tests"]

    assert only(content["counts"]) == {
        "water": str(tank.pk),
        "done": 1,
        "not_done": 1,
        "unanswered": 1,
    }
    assert [(row["title"], row["outcome"], row["why"]) for row in content["left"]] == [
        ("Read TAN", "not done", "Kit is empty"),
        ("Read nitrite", "never answered", ""),
    ]


def test_an_answer_given_after_the_end_was_not_given_then(house: House) -> None:
    tank = vessel_of(house)
    task = asked(house, kind="TEST", title="Read pH", about=f"tanks.vessel:{tank.pk}")
    answered(task, by=house.ana, at=MIDNIGHT + HOUR)

    assert only(told(house.site)["tests"]["left"])["outcome"] == "never answered"


def test_a_system_not_read_in_time_is_named(house: House, nitrite: Method) -> None:
    logged(house, system_of(house), nitrite, "0.02")

    content = told(house.site)
    rows = table(weekly.sections(content, ""), "Test coverage").rows

    assert [row[:2] for row in rows] == [
        ("S-1", "Total ammonia nitrogen"),
        ("S-1", "pH"),
        ("S-1", "Nitrate"),
        ("S-1", "Alkalinity"),
    ]
    assert {row[2] for row in rows} == {"never"}


def test_a_month_tells_the_limits_with_their_sources(house: House) -> None:
    Limit.objects.filter(parameter="NITRITE").update(period=(NOON, None))

    rows = table(compliance_paper.sections(told(house.site, MARCH), ""), "Limits").rows
    fresh = [row for row in rows if row[:2] == ("Fresh", "With animals")]

    chlorine = next(row for row in fresh if "0.019" in row[3])
    nitrite = next(row for row in fresh if row[2] == "Nitrite")

    assert chlorine[4:6] == (
        "act now",
        "Ambient Water Quality Criteria for Chlorine - 1984, US EPA 440/5-84-030, January 1985, US",
    )
    assert chlorine[6].startswith("2026-11-25, the authors")
    assert nitrite[3].startswith("at most 0.2 mg/L as NO₂ (0.061 as N)")
    assert nitrite[6] == "not verified"
    # By the clock of Lisbon in summer time; the others held all month, and say nothing.
    assert "from" not in chlorine[3]
    assert "from Sun 29 Mar 2026, 13:00" in nitrite[3]


def test_a_month_names_the_waters_nobody_read(house: House, nitrite: Method) -> None:
    logged(house, vessel_of(house), nitrite, "0.02")
    vessel_of(house, code="A-02")

    content = told(house.site, MARCH)
    section = compliance_paper.sections(content, "")[2]

    assert section.title == "What was not tested"
    assert "Not read once in this month: A-02." in str(section.blocks[0])
    assert (content["samples"], content["readings"]) == (1, 1)


def test_a_limit_to_watch_is_not_exceeded(house: House) -> None:
    """Level 3 asks for no action: 24 to 26 °C with animals is to watch."""
    logged(house, vessel_of(house), kit(house, "TEMPERATURE"), "29")

    assert told(house.site)["exceedances"] == []
