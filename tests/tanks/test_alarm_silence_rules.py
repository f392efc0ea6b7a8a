"""What is missing, repeated, disagreeing or back again: what must sound and what must not.

Figures of the rules as shipped: common practice, no source, unless named in the rule itself.
"""

from datetime import timedelta

import pytest

from tanks.rules.alarms.known import DueTest, Known, Loan
from tests.cast import NOON
from tests.tanks.watching import DAY, HOUR, known, later, point, series, shipped, signs


def _due(**changes: object) -> DueTest:
    told = {
        "key": "facility.task:1",
        "title": "Test TAN",
        "parameters": ("TAN",),
        "due_at": NOON - 2 * HOUR,
        "every": DAY,
    }
    return DueTest(**(told | changes))  # type: ignore[arg-type]  # a builder's mixed values


@pytest.mark.parametrize(("hours", "level"), [(5.9, None), (6, 3), (23, 3), (24, 2), (60, 2)])
def test_a_daily_test_is_missed_after_a_quarter_of_its_day_and_urgent_after_a_whole_one(
    hours: float, level: int | None
) -> None:
    water = known(tests=(_due(due_at=NOON - hours * HOUR),))

    assert [sign.level for sign in signs(shipped("test-missing"), water)] == (
        [] if level is None else [level]
    )


def test_a_weekly_test_is_given_a_quarter_of_a_week() -> None:
    weekly = _due(every=7 * DAY, due_at=NOON - DAY)

    assert signs(shipped("test-missing"), known(tests=(weekly,))) == []
    assert signs(shipped("test-missing"), known(tests=(weekly,), at=NOON + DAY))


def test_a_missing_test_says_what_was_last_read() -> None:
    water = known(point("TAN", 0.1, NOON - 3 * DAY), tests=(_due(due_at=NOON - 8 * HOUR),))

    [sign] = signs(shipped("test-missing"), water)

    assert sign.sentence == (
        "Test TAN was due 8 h ago and is neither done nor answered. "
        "Last TAN 0.1 mg/L as N, 3 d ago."
    )


def test_only_what_was_not_read_is_named() -> None:
    both = _due(due_at=NOON - 8 * HOUR, parameters=("TAN", "NITRITE"))
    water = known(point("TAN", 0.1, NOON - HOUR), tests=(both,))

    [sign] = signs(shipped("test-missing"), water)

    assert sign.sentence.endswith("answered. Nitrite has not been read in a month.")


def test_what_was_read_after_all_is_not_missing() -> None:
    read = point("TAN", 0.1, NOON - HOUR)

    assert signs(shipped("test-missing"), known(read, tests=(_due(due_at=NOON - 8 * HOUR),))) == []


def _probe(values: list[str], **changes: object) -> Known:
    told = {"entered": "", "code": "A-01", "method_kind": "PROBE", "method_name": "Pen"} | changes
    points = [
        point("PH", float(value.split()[0]), NOON - n * DAY, **(told | {"entered": value}))
        for n, value in enumerate(reversed(values))
    ]
    return known(*points)


def test_a_figure_read_a_fourth_time_to_the_digit_is_told_to_the_auditor() -> None:
    [sign] = signs(shipped("same-reading"), _probe(["8.12", "8.12", "8.12", "8.12"]))

    assert (sign.level, sign.rule) == (3, "same-reading:PH:A-01")
    assert len(sign.evidence) == 4


@pytest.mark.parametrize(
    ("values", "changes"),
    [
        (["8.12", "8.12", "8.12"], {}),
        (["8.12", "8.13", "8.12", "8.12"], {}),
        (["7.9", "7.9", "7.9", "7.9"], {}),
        (["1.026 SG 20/20"] * 4, {}),
        (["8.12", "8.12", "8.12", "8.12"], {"method_kind": "COLOUR_KIT"}),
        (["8.12", "8.12", "8.12", "8.12"], {"qualifier": "BELOW"}),
    ],
)
def test_what_repeats_honestly_is_not(values: list[str], changes: dict[str, object]) -> None:
    assert signs(shipped("same-reading"), _probe(values, **changes)) == []


@pytest.mark.parametrize(("other", "sounds"), [(8.35, True), (8.3, False), (7.65, True)])
def test_two_vessels_of_one_water_that_read_more_than_0_3_ph_apart(
    other: float, *, sounds: bool
) -> None:
    water = known(point("PH", 8.0, NOON - HOUR, code="B-01"), point("PH", other, NOON, code="B-02"))

    found = signs(shipped("ph-disagrees"), water)

    assert bool(found) is sounds
    assert all("B-01" in sign.sentence and "B-02" in sign.sentence for sign in found)


def test_readings_of_one_vessel_or_of_different_hours_do_not_disagree() -> None:
    one = known(point("PH", 8.0, NOON - HOUR), point("PH", 8.6, NOON))
    apart = known(
        point("PH", 8.0, NOON - 9 * HOUR, code="B-01"), point("PH", 8.6, NOON, code="B-02")
    )

    assert signs(shipped("ph-disagrees"), one) == []
    assert signs(shipped("ph-disagrees"), apart) == []


def test_salinity_one_gram_apart_in_one_water() -> None:
    water = known(
        point("SALINITY", 34.0, NOON, code="B-01"), point("SALINITY", 35.2, NOON, code="B-02")
    )

    [sign] = signs(shipped("salinity-disagrees"), water)

    assert "1.2 g/kg apart in one water" in sign.sentence


CLEAR = [(0.0, 0.1)] * 15


def test_tan_in_a_water_clear_for_fourteen_days() -> None:
    points = [point("TAN", edges, NOON - (15 - n) * DAY) for n, edges in enumerate(CLEAR)]
    found = point("TAN", 0.3, NOON)

    [sign] = signs(shipped("tan-in-clear-water"), known(*points, found))

    assert sign.level == 2
    assert sign.sentence.endswith("after 15 days with none.")


def test_at_high_ph_it_is_a_matter_of_now() -> None:
    points = [point("TAN", edges, NOON - (15 - n) * DAY) for n, edges in enumerate(CLEAR)]
    found = (point("TAN", 0.3, NOON), point("PH", 8.2, NOON))

    [sign] = signs(shipped("tan-in-clear-water"), known(*points, *found))

    assert sign.level == 1


def test_tan_in_a_water_that_was_not_clear_or_not_for_long_is_left_to_the_limits() -> None:
    rule = shipped("tan-in-clear-water")
    week = [point("TAN", (0.0, 0.1), NOON - n * DAY) for n in range(1, 8)]
    once = [point("TAN", 0.4, NOON - 6 * DAY)]
    fortnight = [point("TAN", (0.0, 0.1), NOON - n * DAY) for n in (1, 2, 10, 20)]
    found = point("TAN", 0.3, NOON)

    assert signs(rule, known(*week, found)) == []
    assert signs(rule, known(*fortnight, *once, found)) == []
    assert signs(rule, known(*fortnight, found))
    assert signs(rule, known(*fortnight, found, stage="CYCLING")) == []


def test_it_goes_on_until_a_reading_is_clear_again() -> None:
    clear = [point("NITRITE", (0.0, 0.05), NOON - n * DAY) for n in (3, 10, 20)]
    shown = [point("NITRITE", 0.4, NOON - DAY), point("NITRITE", 0.2, NOON)]
    gone = point("NITRITE", (0.0, 0.05), NOON + DAY)
    rule = shipped("nitrite-in-clear-water")

    assert len(signs(rule, known(*clear, *shown))) == 1
    assert signs(rule, known(*clear, *shown, gone, at=NOON + DAY)) == []


def _loan(kind: str, late: timedelta) -> Loan:
    return Loan(
        key="tanks.switch:1",
        kind=kind,
        what="UV 1 is off",
        owner="Ana Quill",
        due_back_at=NOON - late,
    )


def test_a_device_past_its_return_becomes_urgent_at_the_end_of_a_shift() -> None:
    rule = shipped("past-return")
    water = known(loans=(_loan("loan", HOUR),))

    assert [sign.level for sign in signs(rule, water)] == [2]
    assert [sign.level for sign in signs(rule, later(water, 7 * HOUR))] == [1]
    assert "UV 1 is off: should have been put right 60 min ago" in signs(rule, water)[0].sentence
    assert signs(rule, known(loans=(_loan("loan", -HOUR),))) == []


def test_a_hose_past_its_time_is_urgent_at_once() -> None:
    water = known(loans=(_loan("hose", timedelta(minutes=1)),))

    assert [sign.level for sign in signs(shipped("hose-running"), water)] == [1]
    assert signs(shipped("past-return"), water) == []


def test_series_ends_at_noon() -> None:
    assert [one.at for one in series("PH", [7, 8])] == [NOON - DAY, NOON]
