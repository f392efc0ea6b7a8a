"""Recurrence as RFC 5545 writes it, on a wall whose clock changes."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as some

from facility.rules.recurrence import BadRule, Rhythm, normal, require_rhythm, turns

LISBON = ZoneInfo("Europe/Lisbon")
NEW_YORK = ZoneInfo("America/New_York")


def rhythm(rule: str, *, on: date = date(2026, 11, 23), at: time = time(9)) -> Rhythm:
    return Rhythm(rule=rule, begins_on=on, begins_at=at)


def walls(one: Rhythm, since: datetime, until: datetime, zone: ZoneInfo = LISBON) -> list[str]:
    found = turns(one, zone, since=since.astimezone(zone), until=until.astimezone(zone))
    return [turn.at.astimezone(zone).isoformat(timespec="minutes") for turn in found]


# RFC 5545 3.8.5.3, whose examples begin on 2 September 1997 at 9:00 in New York; the expected
# days are printed there.
RFC_EXAMPLES = [
    ("FREQ=DAILY;COUNT=10", "1997 9:2,3,4,5,6,7,8,9,10,11"),
    ("FREQ=DAILY;INTERVAL=10;COUNT=5", "1997 9:2,12,22 10:2,12"),
    (
        "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH",
        "1997 9:2,4,9,11,16,18,23,25,30 10:2",
    ),
    ("FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH", "1997 9:2,4,16,18,30 10:2,14,16"),
    ("FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15", "1997 9:2,15 10:2,15 11:2,15 12:2,15 | 1998 1:2,15"),
    (
        "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
        "1997 9:30 10:1,31 11:1,30 12:1,31 | 1998 1:1,31 2:1",
    ),
    ("FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "1997 9:4 10:7 11:6"),
]


@pytest.mark.parametrize(("rule", "days"), RFC_EXAMPLES, ids=[rule for rule, _ in RFC_EXAMPLES])
def test_the_examples_of_the_standard_fall_on_its_days(rule: str, days: str) -> None:
    one = rhythm(rule, on=date(1997, 9, 2))

    found = turns(
        one,
        NEW_YORK,
        since=datetime(1997, 9, 1, tzinfo=UTC),
        until=datetime(1999, 1, 1, tzinfo=UTC),
    )

    assert [turn.wall for turn in found] == [
        datetime.combine(day, time(9)) for day in printed(days)
    ]


def printed(days: str) -> list[date]:
    return [
        date(int(year[:4]), int(month), int(day))
        for year in days.split(" | ")
        for month, listed in (part.split(":") for part in year.split()[1:])
        for day in listed.split(",")
    ]


def test_a_wall_time_left_out_in_spring_falls_to_the_next_moment_there_is() -> None:
    # Lisbon goes from 01:00 to 02:00 on 29 March 2026 (tz database, EU rule).
    found = walls(
        rhythm("FREQ=DAILY", on=date(2026, 3, 1), at=time(1, 30)),
        datetime(2026, 3, 27, 12, tzinfo=UTC),
        datetime(2026, 3, 30, 12, tzinfo=UTC),
    )

    assert found == ["2026-03-28T01:30+00:00", "2026-03-29T02:00+01:00", "2026-03-30T01:30+01:00"]


def test_a_wall_time_that_comes_twice_in_autumn_happens_once_the_first_time() -> None:
    # Lisbon goes from 02:00 back to 01:00 on 25 October 2026.
    found = walls(
        rhythm("FREQ=DAILY", on=date(2026, 3, 1), at=time(1, 30)),
        datetime(2026, 10, 23, 12, tzinfo=UTC),
        datetime(2026, 10, 26, 12, tzinfo=UTC),
    )

    assert found == ["2026-10-24T01:30+01:00", "2026-10-25T01:30+01:00", "2026-10-26T01:30+00:00"]


def test_nine_in_the_morning_stays_nine_through_both_changes() -> None:
    found = walls(
        rhythm("FREQ=WEEKLY;BYDAY=MO", on=date(2026, 3, 2)),
        datetime(2026, 3, 20, tzinfo=UTC),
        datetime(2026, 11, 1, tzinfo=UTC),
    )

    assert {wall[11:16] for wall in found} == {"09:00"}
    assert {wall[16:] for wall in found} == {"+00:00", "+01:00"}
    assert len(found) == 32


def test_hours_through_a_change_are_neither_doubled_nor_lost() -> None:
    hourly = rhythm("FREQ=HOURLY", on=date(2026, 3, 1), at=time(0))

    spring = walls(
        hourly, datetime(2026, 3, 28, 23, tzinfo=UTC), datetime(2026, 3, 29, 3, tzinfo=UTC)
    )
    autumn = walls(
        hourly, datetime(2026, 10, 24, 22, tzinfo=UTC), datetime(2026, 10, 25, 3, tzinfo=UTC)
    )

    assert [wall[11:16] for wall in spring] == ["00:00", "02:00", "03:00", "04:00"]
    assert [wall[11:16] for wall in autumn] == ["00:00", "01:00", "02:00", "03:00"]


@pytest.mark.parametrize("until", ["20261130", "20261130T090000", "20261130T090000Z"])
def test_until_counts_its_own_day_in_each_way_of_writing_it(until: str) -> None:
    found = walls(
        rhythm(f"FREQ=DAILY;UNTIL={until}"),
        datetime(2026, 11, 28, tzinfo=UTC),
        datetime(2026, 12, 5, tzinfo=UTC),
    )

    assert [wall[:10] for wall in found] == ["2026-11-28", "2026-11-29", "2026-11-30"]


def test_until_in_utc_is_turned_to_the_wall() -> None:
    # 08:30 UTC in July is 09:30 in Lisbon: the turn of 9:00 counts, that of 8:00 UTC would not.
    one = rhythm("FREQ=DAILY;UNTIL=20260710T083000Z", on=date(2026, 7, 8))

    found = walls(one, datetime(2026, 7, 7, tzinfo=UTC), datetime(2026, 7, 20, tzinfo=UTC))

    assert [wall[:10] for wall in found] == ["2026-07-08", "2026-07-09", "2026-07-10"]


def test_a_count_is_counted_from_the_start_and_not_from_where_one_looks() -> None:
    one = rhythm("FREQ=DAILY;COUNT=3")

    assert walls(one, datetime(2026, 11, 25, tzinfo=UTC), datetime(2026, 12, 9, tzinfo=UTC)) == [
        "2026-11-25T09:00+00:00"
    ]


@given(
    freq=some.sampled_from(["DAILY", "WEEKLY", "HOURLY", "MONTHLY"]),
    interval=some.integers(1, 9),
    by=some.sampled_from(["", ";BYDAY=MO,TH", ";BYMONTH=2,7"]),
    days=some.integers(0, 1500),
)
def test_far_from_the_start_the_turns_are_those_counted_from_it(
    freq: str, interval: int, by: str, days: int
) -> None:
    rule = f"FREQ={freq};INTERVAL={interval}{by}"
    one = rhythm(rule, on=date(2021, 1, 4))
    since = datetime(2021, 1, 4, tzinfo=UTC) + timedelta(days=days)
    until = since + timedelta(days=40)

    found = [turn.wall for turn in turns(one, ZoneInfo("UTC"), since=since, until=until)]

    counted = rrulestr(rule, dtstart=one.start)
    naive = (since.replace(tzinfo=None), until.replace(tzinfo=None))
    assert found == [wall for wall in counted.between(*naive, inc=True) if wall > naive[0]]


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        ("FREQ=MINUTELY", "once an hour at most"),
        ("FREQ=HOURLY;BYMINUTE=0,15,30,45", "once an hour at most"),
        ("FREQ=SOMETIMES", "choose one of YEARLY"),
        ("DAILY", "NAME=VALUE"),
        ("", "NAME=VALUE"),
        ("FREQ=DAILY;FREQ=WEEKLY", "each part once"),
        ("FREQ=DAILY;INTERVAL=0", "INTERVAL"),
        ("FREQ=DAILY;COUNT=2;UNTIL=20271231", "one of the two"),
        ("FREQ=DAILY;UNTIL=soon", "UNTIL"),
        ("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30", "none of these months"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "from 1 to 31"),
        ("FREQ=WEEKLY;BYDAY=XX", "is not a recurrence rule"),
        ("FREQ=WEEKLY;BYDAY=1MO", "numbered only"),
        ("FREQ=DAILY;BYEASTER=1", "BYEASTER: this part is not read"),
        ("FREQ=DAILY;INTERVAL=7;BYDAY=TU", "never comes"),
        ("FREQ=DAILY;UNTIL=20200101", "never comes"),
    ],
)
def test_what_no_duty_can_follow_is_refused_by_name(rule: str, sentence: str) -> None:
    with pytest.raises(BadRule, match=sentence):
        require_rhythm(rhythm(rule), LISBON)


def test_a_rare_day_is_found() -> None:
    require_rhythm(rhythm("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29;BYDAY=MO"), LISBON)


def test_a_rule_is_kept_in_one_form() -> None:
    assert normal(" rrule: freq=weekly; byday=mo ") == "FREQ=WEEKLY;BYDAY=MO"
