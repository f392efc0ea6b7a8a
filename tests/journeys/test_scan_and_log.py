"""Hands are wet: from the label on the glass to a saved sample in a handful of taps."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from facility.models import Entry
from tanks.models import Reading, Vessel
from tests.cast import House
from tests.journeys.browser import sign_in, signed_in
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

# Typing on the phone's keyboard is not counted; putting a finger on the glass is.
_COUNTED = "addEventListener('pointerdown', () => touched(), true)"


def test_a_keeper_scans_logs_three_readings_and_sees_what_they_mean(
    phone: Page, house: House, live_server: LiveServer
) -> None:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    steps = tuple(Decimal(step) for step in ("0", "0.25", "0.5", "1", "2", "4"))
    kit(house, "TAN", name="Ammonia drops", steps=steps, lowest=Decimal("0.25"))
    touches: list[None] = []
    phone.expose_function("touched", lambda: touches.append(None))
    phone.add_init_script(_COUNTED)

    phone.goto(on_the_label(vessel, live_server))
    sign_in(phone, house.ana)
    expect(phone).to_have_url(f"{live_server.url}/tanks/{vessel.pk}/")
    touches.clear()
    phone.get_by_role("link", name="Log readings").tap()
    phone.get_by_text("0.5", exact=True).tap()
    for label, text in (("pH", "8,2"), ("Temperature", "25")):
        phone.get_by_label(label).first.tap()
        phone.keyboard.type(text)
    phone.get_by_role("button", name="Save").tap()

    expect(phone.get_by_text("3 readings of A-01 saved.")).to_be_visible()
    assert 0 < len(touches) <= 6
    # 0.5 mg/L x 0.0825, Emerson et al. 1975 at 25 °C and pH 8.2.
    meaning = phone.get_by_role("region", name="What this means")
    expect(meaning).to_contain_text("Un-ionised ammonia is about 0.041 mg/L as N")
    kept = list(Reading.objects.order_by("parameter"))
    entered = [(row.parameter, row.as_entered) for row in kept]
    assert entered == [("PH", "8,2"), ("TAN", "0.5"), ("TEMPERATURE", "25")]
    assert {(row.by, row.sample) for row in kept} == {(house.ana, kept[0].sample)}
    assert all(timezone.now() - row.happened_at < timedelta(minutes=2) for row in kept)
    assert Entry.objects.filter(kind="tanks.log-readings").count() == 1


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
