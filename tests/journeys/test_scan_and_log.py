"""Hands are wet: from the label on the glass to a saved sample in a handful of taps."""

from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from time import monotonic

import pytest
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from facility.models import Entry
from tanks.models import Reading, Vessel
from tests.cast import House
from tests.journeys.browser import overflow_px, sign_in, signed_in
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

# The figures of a value are counted apart: nobody can write 8.2 without them.
_COUNTED = """addEventListener("pointerdown", (event) => {
  const key = event.target.closest("[data-key]");
  touched(key ? "figure" : "tap");
}, true)"""
# A hand reads an instrument, then taps: the keystroke-level model's 1.35 s to prepare (Card, Moran
# and Newell 1980) and, for a thumb, 0.4 s a tap; both from memory, unverified.
_READS_MS = 1350
_TAPS_MS = 400
_COVERED = """(box) => {
  const { left, top, width, height } = box.getBoundingClientRect();
  return document.elementFromPoint(left + width / 2, top + height / 2) !== box;
}"""
_SIDES = """all => all.map(one => one.getBoundingClientRect())
  .map(({ width, height }) => Math.min(width, height))"""
# Signal between steel racks: every answer 0.4 s late, 1.6 Mbit/s down and 0.75 up.
_POOR = {"offline": False, "latency": 400, "downloadThroughput": 2e5, "uploadThroughput": 93_750}


@pytest.fixture
def tank(house: House) -> Vessel:
    """Read yesterday with a kit that has steps and two that have none."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    steps = tuple(Decimal(step) for step in ("0", "0.25", "0.5", "1", "2", "4"))
    drops = kit(house, "TAN", name="Ammonia drops", steps=steps, lowest=Decimal("0.25"))
    at = timezone.now() - timedelta(hours=20)
    for method, text in (
        (drops, "1"),
        (kit(house, "PH"), "8.1"),
        (kit(house, "TEMPERATURE"), "25.2"),
    ):
        logged(house, vessel, method, text, at=at)
    return vessel


def test_a_keeper_scans_logs_three_readings_and_sees_what_they_mean(
    phone: Page, house: House, tank: Vessel, live_server: LiveServer
) -> None:
    touches = counted(phone)
    phone.goto(on_the_label(tank, live_server))
    sign_in(phone, house.ana)
    expect(phone).to_have_url(f"{live_server.url}/tanks/{tank.pk}/")
    touches.clear()

    log_three(phone, pause=lambda _: None)

    expect(phone.get_by_text("3 readings of A-01 saved.")).to_be_visible()
    # Log readings, the step, Next after pH, Save.
    assert (touches.count("tap"), touches.count("figure")) == (4, 7)
    # 0.5 mg/L x 0.0825, Emerson et al. 1975 at 25 °C and pH 8.2.
    meaning = phone.get_by_role("region", name="What this means")
    expect(meaning).to_contain_text("Un-ionised ammonia is about 0.041 mg/L as N")
    kept = list(Reading.objects.order_by("happened_at", "parameter"))[3:]
    entered = [(row.parameter, row.as_entered) for row in kept]
    assert entered == [("PH", "8.2"), ("TAN", "0.5"), ("TEMPERATURE", "25.0")]
    assert {(row.by, row.sample) for row in kept} == {(house.ana, kept[0].sample)}
    assert all(timezone.now() - row.happened_at < timedelta(minutes=2) for row in kept)


def test_from_scan_to_saved_takes_one_hand_fifteen_seconds_on_a_poor_signal(
    phone: Page, house: House, tank: Vessel, live_server: LiveServer
) -> None:
    signed_in(phone, house.ana).goto(f"/tanks/{tank.pk}/readings/")
    wire = phone.context.new_cdp_session(phone)
    wire.send("Network.enable")
    wire.send("Network.emulateNetworkConditions", _POOR)
    began = monotonic()

    phone.goto(on_the_label(tank, live_server))
    log_three(phone, pause=phone.wait_for_timeout)
    phone.get_by_text("3 readings of A-01 saved.").wait_for()

    took_s = monotonic() - began
    assert took_s <= 15
    # The hand alone: eleven touches, three values read off.
    assert took_s > (11 * _TAPS_MS + 3 * _READS_MS) / 1000


def test_every_key_is_large_and_the_box_being_filled_stays_in_view(
    phone: Page, house: House, tank: Vessel
) -> None:
    signed_in(phone, house.ana).goto(f"/tanks/{tank.pk}/readings/")
    keys = phone.get_by_role("group", name="Figures")
    expect(keys.get_by_role("button", name="Hide")).to_be_hidden()

    for label in ("pH", "Temperature"):
        box = phone.get_by_label(label).first
        box.tap()
        expect(keys.get_by_role("button", name="5")).to_be_visible()
        assert box.evaluate(_COVERED) is False
        assert box.get_attribute("inputmode") == "none"
    sides = keys.get_by_role("button").evaluate_all(_SIDES)
    assert len(sides) == 18
    assert min(sides) >= 48
    assert overflow_px(phone) <= 0


def test_keys_write_rub_out_and_give_way_to_the_phone_s_own_keyboard(
    phone: Page, house: House, tank: Vessel
) -> None:
    signed_in(phone, house.ana).goto(f"/tanks/{tank.pk}/readings/")
    box = phone.get_by_label("pH").first
    box.tap()
    keys = phone.get_by_role("group", name="Figures")
    for name in ("Below", "7", "Point", "5"):
        keys.get_by_role("button", name=name, exact=True).tap()
    expect(box).to_have_value("<7.5")

    keys.get_by_role("button", name="Rub out one").tap()
    keys.get_by_role("button", name="4", exact=True).tap()
    expect(box).to_have_value("<7.4")

    keys.get_by_role("button", name="Keyboard").tap()
    expect(box).to_have_attribute("inputmode", "decimal")
    expect(keys.get_by_role("button", name="5", exact=True)).to_be_hidden()
    phone.reload()
    expect(phone.get_by_label("pH").first).to_have_attribute("inputmode", "decimal")


def test_the_keys_follow_a_row_that_another_method_draws_anew(
    phone: Page, house: House, tank: Vessel
) -> None:
    other = kit(house, "PH", name="Pocket probe")
    signed_in(phone, house.ana).goto(f"/tanks/{tank.pk}/readings/")
    row = phone.locator("#row-PH")
    row.locator("summary").tap()

    row.get_by_label("Method", exact=True).select_option(str(other.pk))
    expect(row.locator("summary")).to_have_text("Method: Pocket probe")
    row.get_by_label("pH").first.tap()
    phone.get_by_role("group", name="Figures").get_by_role("button", name="7", exact=True).tap()

    expect(row.get_by_label("pH").first).to_have_value("7")
    expect(row.get_by_label("pH").first).to_have_attribute("inputmode", "none")


def test_at_a_desk_there_are_no_keys_in_the_way(desk: Page, house: House, tank: Vessel) -> None:
    signed_in(desk, house.ana).goto(f"/tanks/{tank.pk}/readings/")

    desk.get_by_label("pH").first.fill("8.2")

    expect(desk.get_by_role("group", name="Figures")).to_be_hidden()
    desk.keyboard.press("Enter")
    expect(desk.get_by_text("1 reading of A-01 saved.")).to_be_visible()


def test_a_known_phone_scans_straight_to_the_tank(
    phone: Page, house: House, live_server: LiveServer
) -> None:
    vessel = vessel_of(house)
    signed_in(phone, house.ana)

    phone.goto(on_the_label(vessel, live_server))

    expect(phone).to_have_url(f"{live_server.url}/tanks/{vessel.pk}/")
    # A phone that was switched off over the weekend is still known.
    (cookie,) = [one for one in phone.context.cookies() if one.get("name") == "sessionid"]
    assert cookie.get("expires", 0) > (timezone.now() + timedelta(days=29)).timestamp()
    assert not Entry.objects.filter(about=f"tanks.vessel:{vessel.pk}", by=house.ana).exists()


def on_the_label(vessel: Vessel, live_server: LiveServer) -> str:
    """In capitals, as the label's square holds it and a phone's camera opens it."""
    return f"{live_server.url}/T/{vessel.labels.get().code}".upper()


def counted(page: Page) -> list[str]:
    """Every finger on the glass from now on: a figure's key, or any other."""
    touches: list[str] = []
    page.expose_function("touched", lambda what: touches.append(str(what)))
    page.add_init_script(_COUNTED)
    return touches


def log_three(page: Page, *, pause: Callable[[float], None]) -> None:
    """From the tank's page: a step of the kit, a pH, a temperature, with the thumb alone."""
    keys = page.get_by_role("group", name="Figures")

    def tap(what: Locator) -> None:
        pause(_TAPS_MS)
        what.tap()

    tap(page.get_by_role("link", name="Log readings"))
    page.wait_for_url("**/readings/")
    pause(_READS_MS)
    tap(page.get_by_text("0.5", exact=True))
    for figures, then in (("8.2", "Next"), ("25.0", "")):
        pause(_READS_MS)
        for figure in figures:
            tap(keys.locator(f'[data-key="{figure}"]'))
        if then:
            tap(keys.get_by_role("button", name=then))
    tap(page.get_by_role("button", name="Save"))
