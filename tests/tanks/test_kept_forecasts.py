"""Old forecasts beside what came: the list, one of them with its chart, and the site's score."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from tanks.commands.cycles import EndCycle, end_cycle, start_cycle
from tanks.models import Forecast
from tanks.paper import charts
from tanks.queries.calibration import calibration
from tanks.queries.cycles import course
from tanks.queries.forecasts import Kept, daily, lines_of, passed_at
from tests.cast import House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.foretold import forecast_of, hours_from
from tests.tanks.proving import DAY, HOUR, Proving, start_of
from tests.tanks.startups import read_daily, signed_in, under_way


def passed(house: House) -> tuple[Proving, Forecast]:
    """Begun 12 days ago; forecast before day 3 for day 8 to 10; passed by a challenge of day 9."""
    known = under_way(house, days=12)
    began = known.cycle.started_at
    read_daily(known)
    forecast = forecast_of(
        known, at=began + 71 * HOUR, ready_at_h=hours_from(24.0 * 8, days=2), never_by_horizon=0.1
    )
    _pass(known, at=began + 9 * DAY)
    return known, forecast


def page(client: Client, name: str, *parts: Any) -> str:
    return client.get(reverse(f"tanks:{name}", args=parts)).content.decode()


def kept(known: Proving, forecast: Forecast) -> Kept:
    return Kept(told=course(known.cycle, at=timezone.now()), forecast=forecast)


def test_list_says_what_was_stated_and_how_it_did(house: House) -> None:
    known, forecast = passed(house)

    shown = page(signed_in(house.hale), "forecasts", known.cycle.pk)

    assert "The challenge that first passed began" in shown
    assert reverse("tanks:kept-forecast", args=[known.cycle.pk, forecast.pk]) in shown
    assert ">inside<" in shown


def test_list_shows_the_last_of_each_day_and_all_when_asked(house: House) -> None:
    known = under_way(house, days=5)
    for hours in (50, 60, 70, 80):
        forecast_of(known, at=known.cycle.started_at + hours * HOUR)

    lines = lines_of([known.cycle])
    assert [line.now_h for line in daily(lines)] == [80, 70]

    client, url = signed_in(house.ana), reverse("tanks:forecasts", args=[known.cycle.pk])
    assert "Every forecast, 2 more" in client.get(url).content.decode()
    assert client.get(f"{url}?all=1").content.decode().count("<tr>") == 5


def test_old_forecast_stands_beside_the_readings_that_came_later(house: House) -> None:
    known, forecast = passed(house)

    told = kept(known, forecast)

    assert dict(told.came_of_it)["80 in 100"] == "inside"
    rows = told.met.rows
    assert {row[1] for row in rows} == {"Total ammonia nitrogen", "Nitrite", "pH"}
    assert all(3.0 <= float(row[0]) <= 5.0 for row in rows)
    shown = page(signed_in(house.ana), "kept-forecast", known.cycle.pk, forecast.pk)
    assert forecast.digest in shown
    assert "Advised then: It is short." in shown


def test_reading_outside_the_band_says_on_which_side(house: House) -> None:
    """The band of this forecast is 0.3 to 0.5 for every parameter; pH reads 7.8."""
    known, forecast = passed(house)

    sides = {row[1]: row[4] for row in kept(known, forecast).met.rows}

    assert sides["pH"] == "above"


def test_chart_of_an_old_forecast_ends_at_its_line_and_shows_what_came(house: House) -> None:
    known, forecast = passed(house)
    told = kept(known, forecast).told

    drawing = charts.kept_drawing_of(told, forecast, passed_at=passed_at(told))

    assert drawing.now == known.cycle.started_at + 71 * HOUR
    assert max(mark.at for mark in drawing.marks) > drawing.now
    assert [act.at for act in drawing.acts if act.lane == "passed"] == [passed_at(told)]
    assert drawing.first_pass is not None
    answer = signed_in(house.ana).get(
        reverse("tanks:kept-chart", args=[known.cycle.pk, forecast.pk])
    )
    assert answer["Content-Type"] == "image/svg+xml"
    assert ">forecast<" in answer.content.decode()


def test_forecast_of_another_start_up_is_not_found_here(house: House) -> None:
    known, forecast = passed(house)
    url = reverse("tanks:kept-forecast", args=[known.vessel.pk, forecast.pk])

    assert signed_in(house.ana).get(url).status_code == 404


def test_site_is_scored_on_what_was_said_on_fixed_days(house: House) -> None:
    """Stated day 8 to 10 with middle 9 on day 3; passed on day 9, which the rule puts at 14."""
    passed(house)

    scores = calibration(house.site, at=timezone.now()).scores

    assert [score.day for score in scores] == [3]
    assert scores[0].error_d == pytest.approx(0.0, abs=0.1)
    assert scores[0].rule_error_d == pytest.approx(5.0, abs=0.1)
    assert all(share.says == "too few to tell" for share in scores[0].shares)


def test_forecast_of_two_days_before_counts_and_an_older_one_does_not(house: House) -> None:
    """Made on day 3: it speaks for day 3 and, a day short of two days old, for day 5."""
    known = under_way(house, days=12)
    forecast_of(known, at=known.cycle.started_at + 3 * DAY + HOUR)
    _pass(known, at=known.cycle.started_at + 9 * DAY)

    assert [score.day for score in calibration(house.site, at=timezone.now()).scores] == [5]


def test_start_up_that_was_given_up_is_counted(house: House) -> None:
    known = under_way(house, days=12)
    began = known.cycle.started_at
    forecast_of(known, at=began + 7 * DAY, ready_at_h=hours_from(24.0 * 8, days=1))
    known.read("NITRITE", "1.2", at=began + 10.9 * DAY)
    forecast_of(known, at=began + 10.95 * DAY)
    command = EndCycle(cycle_id=known.cycle.pk, outcome="GIVEN_UP", happened_at=began + 11 * DAY)
    end_cycle(command, by=house.mo, at=began + 11 * DAY)

    found = calibration(house.site, at=timezone.now())

    assert (found.passed, found.unfinished) == (0, 1)
    day_seven = next(score for score in found.scores if score.day == 7)
    assert [(share.inside, share.undecided, share.count) for share in day_seven.shares] == [
        (0, 0, 1)
    ] * 3
    shown = page(signed_in(house.hale), "calibration")
    assert "ended without a pass on day 11" in shown
    assert "given 5 % on average" in shown


def test_open_start_up_waits_for_its_end(house: House) -> None:
    known = under_way(house, days=12)
    forecast_of(known, at=known.cycle.started_at + 7 * DAY)

    found = calibration(house.site, at=timezone.now())

    assert (found.ended, found.open_count, found.scores) == ((), 1, ())
    assert "Nothing to compare yet" in page(signed_in(house.ana), "calibration")


def test_number_of_queries_does_not_grow_with_start_ups(
    house: House, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    known, _ = passed(house)
    with django_assert_num_queries(4):
        assert calibration(house.site, at=timezone.now()).passed == 1

    for code in ("A-02", "A-03"):
        _second(known, code)
    with django_assert_num_queries(4):
        assert calibration(house.site, at=timezone.now()).open_count == 2


def test_what_if_is_told_on_the_page_of_the_start_up(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    weighed = {
        "departure": "ignore_nitrite",
        "delay_d": 5.6,
        "delay_span_d": [4.2, 8.1],
        "never_rise": 0.0,
        "never_span": [0.0, 0.0],
        "over_cap": 0.2,
        "is_bound": False,
    }
    forecast_of(known, deviations=[weighed])

    shown = page(signed_in(house.ana), "cycle", known.cycle.pk)

    assert "Dose whatever nitrite reads" in shown
    assert "about 5.5 days later (4 to 8 days)" in shown
    assert "over the cap of 5 mg/L as N" in shown


def _pass(known: Proving, *, at: datetime) -> None:
    """Read before it is dosed, as the house asks."""
    known.read("TAN", "<0.1", at=at - HOUR)
    known.verdict(at=at)


def _second(known: Proving, code: str) -> None:
    """Another start-up under way beside the first."""
    vessel = vessel_of(known.house, code=code)
    measured(known.house, vessel, litres="300")
    started = start_cycle(
        start_of(vessel, known.salt, happened_at=known.cycle.started_at + timedelta(hours=2)),
        by=known.house.ana,
        at=known.cycle.started_at + timedelta(hours=2),
    )
    assert started.ended_at is None
