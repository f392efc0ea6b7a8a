"""Eighty tanks in one go: by keyboard at a desk, by thumb on a phone, in less than three minutes.

Time for hands is added as a keystroke-level model does: 0.28 s a key, 0.4 s a tap, 1.35 s to
look at each thing that is marked (Card, Moran and Newell 1980; from memory, unverified).
"""

from time import monotonic

import pytest
from playwright.sync_api import Page, expect

from facility.models import Area
from tanks.models import Reading, Walk
from tanks.rules.walking import walking_key
from tests.cast import House
from tests.journeys.browser import overflow_px, signed_in
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]
_KEY_S, _TAP_S, _LOOK_S = 0.28, 0.4, 1.35
_TANKS = 80


@pytest.fixture
def area(house: House) -> Area:
    """Eighty tanks in one room, and a thermometer."""
    for number in range(1, _TANKS + 1):
        vessel_of(house, code=f"R-{number}")
    kit(house, "TEMPERATURE", name="Glass thermometer")
    return house.area


def test_eighty_tanks_by_keyboard_alone(desk: Page, house: House, area: Area) -> None:
    signed_in(desk, house.ana).goto("/walks/")
    began, keys = monotonic(), 0
    desk.get_by_role("link", name=area.name).press("Enter")
    desk.get_by_label("Read on the way").focus()
    keys += typed(desk, "Glass")
    keys += pressed(desk, "Tab", 1)
    keys += typed(desk, "25.2")
    # To the forty-first tank: down one box for the state, one for the value.
    keys += pressed(desk, "Tab", 1 + 40 * 2)
    keys += typed(desk, "Breathing")
    keys += pressed(desk, "Tab", 1)
    keys += typed(desk, "Two of them")
    keys += pressed(desk, "Enter", 1)
    expect(
        desk.get_by_text("Front room: 80 seen, all well but 1. 80 readings kept.")
    ).to_be_visible(timeout=60_000)

    took_s = monotonic() - began + keys * _KEY_S + 2 * _LOOK_S
    assert took_s < 180, took_s
    walk = Walk.objects.get()
    sign = walk.signs.get()
    assert (sign.vessel.code, sign.sign, sign.note) == ("R-41", "GASPING", "Two of them")
    assert Reading.objects.filter(as_entered="25.2").values("vessel").distinct().count() == _TANKS


def test_three_exceptions_by_thumb(phone: Page, house: House, area: Area) -> None:
    signed_in(phone, house.ana).goto(f"/areas/{area.pk}/walk/")
    began, taps = monotonic(), 0
    for code, sign in (("R-7", "DEAD"), ("R-33", "FLOW"), ("R-80", "UNSEEN")):
        phone.get_by_label(f"{code} was").select_option(sign)
        taps += 2
    phone.get_by_role("button", name="Save the walk").tap()
    expect(phone.get_by_text("Front room: 79 seen, all well but 2.")).to_be_visible(timeout=20_000)

    assert monotonic() - began + (taps + 1) * _TAP_S + 3 * _LOOK_S < 180
    assert len(Walk.objects.get().seen) == _TANKS - 1


def test_boxes_are_as_large_as_a_thumb_and_in_walking_order(
    phone: Page, house: House, area: Area
) -> None:
    signed_in(phone, house.ana).goto(f"/areas/{area.pk}/walk/")
    boxes = phone.locator(".walk-rows select")

    heights = boxes.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
    codes = phone.locator(".walk-row > label.code").all_text_contents()
    assert min(heights) >= 48
    assert codes == sorted(codes, key=walking_key)
    assert len(codes) == _TANKS
    assert overflow_px(phone) <= 0


def typed(page: Page, text: str) -> int:
    page.keyboard.type(text)
    return len(text)


def pressed(page: Page, key: str, times: int) -> int:
    for _ in range(times):
        page.keyboard.press(key)
    return times
