"""A copper course on a phone: the window is missed, the clock stands still, and goes on again.

Moment of truth of the trade: the level is 0.12 at night because rock bound the copper. The clock
says where it stands still, the page what to top up, and a second person works it out alone.
"""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from quarantine.models import LevelReading, TreatmentDose
from quarantine.queries.courses import standing
from tests.cast import House
from tests.journeys.browser import PHONE, Opener, overflow_px, signed_in
from tests.quarantine.treating import (
    DAY,
    HOUR,
    Told,
    given,
    level_read,
    read_water,
    told_course,
)

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def three_days_in(house: House) -> Told:
    """Dosed four days ago; inside the window since, with the clock at two days."""
    begun = timezone.now().replace(second=0, microsecond=0) - 4 * DAY
    told = told_course(house, at=begun)
    given(told, at=begun)
    for hours in (1, 13, 37, 61):
        level_read(told, "0.17", at=begun + hours * HOUR)
    read_water(house, told.vessel, at=begun + 95 * HOUR)
    return told


def read_on(phone: Page, level: str) -> None:
    phone.get_by_role("link", name="Read the level").first.tap()
    phone.get_by_label("Level, mg/L").fill(level)
    phone.get_by_role("button", name="Record it").tap()


def test_a_missed_window_stops_the_clock_and_a_top_up_lets_it_go_on(
    phone: Page, another: Opener, house: House
) -> None:
    told = three_days_in(house)
    course = f"/courses/{told.course.pk}/"
    signed_in(phone, house.ana).goto(course)
    expect(phone.get_by_text("2 of 14")).to_be_visible()

    read_on(phone, "0.12")

    expect(phone.locator(".page-head").get_by_text("clock stands still")).to_be_visible()
    expect(phone.get_by_text("Below the window it does not treat.")).to_be_visible()
    assert overflow_px(phone) <= 0

    # 0.06 mg/L x 400 L / 254.51 mg/g = 0.0943 g of copper sulfate crystals.
    phone.get_by_role("link", name="Top up by 0.06").tap()
    expect(phone.locator("#working")).to_contain_text("0.09 g")
    phone.get_by_label("What you measured out").fill("0.943")
    phone.get_by_role("button", name="Record the dose").tap()
    expect(phone.get_by_text("10 times the computed")).to_be_visible()
    expect(phone.get_by_text("A second person must work this dose out alone")).to_be_visible()
    assert TreatmentDose.objects.count() == 1

    second_person(another, house, course)
    phone.get_by_label("What you measured out").fill("0.094")
    phone.get_by_role("button", name="Record the dose").tap()
    expect(phone.get_by_text("Read the level next.")).to_be_visible()
    read_on(phone, "0.18")

    expect(phone.locator(".page-head").get_by_text("clock runs")).to_be_visible()
    expect(phone.get_by_role("img", name="The level over the days")).to_be_visible()
    assert overflow_px(phone) <= 0
    proven(told)


def second_person(another: Opener, house: House, course: str) -> None:
    page = signed_in(another(PHONE), house.mo)
    page.goto(course)
    page.get_by_role("link", name="Second person").tap()
    page.get_by_label("Rise, mg/L").fill("0.06")
    page.get_by_label("Net litres of the water").fill("400")
    page.get_by_label("What you come to").fill("0.094")
    page.get_by_role("button", name="Record what I come to").tap()
    page.get_by_text("It is compared when the dose is given.").wait_for()


def proven(told: Told) -> None:
    top_up = TreatmentDose.objects.get(intent="TOP_UP")
    assert (top_up.amount, top_up.water_litres) == (Decimal("0.094"), Decimal(400))
    assert LevelReading.objects.count() == 6
    clock = standing(told.course, at=timezone.now()).clock
    assert clock is not None
    # Two days before the level was read low; nothing of the time around it counts.
    assert timedelta(days=2) <= clock.counted < timedelta(days=2, minutes=10)
    assert [one.what for one in clock.events] == ["started", "paused", "went on"]
