"""An alert on a phone: from the board to its cause, by taps alone."""

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from facility.models import Alert
from tanks.commands.watching import watch
from tests.cast import House
from tests.journeys.browser import PHONE, Opener, signed_in
from tests.journeys.test_pages import faults_of
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

HOUR = timedelta(hours=1)


@pytest.fixture
def alert(house: House) -> Alert:
    """TAN far above its limit, read an hour ago, with the pH rising."""
    now = datetime.now(UTC)
    tank, drops = vessel_of(house), kit(house, "TAN", name="TAN drops")
    pen = kit(house, "PH", name="pH pen", kind="PROBE")
    logged(house, tank, drops, "0.6", at=now - HOUR)
    logged(house, tank, pen, "7.4", at=now - 20 * HOUR)
    logged(house, tank, pen, "7.8", at=now - HOUR)
    [raised] = watch(house.site, at=now)
    return raised


def test_from_the_board_to_the_cause(phone: Page, house: House, alert: Alert) -> None:
    page = signed_in(phone, house.mo)
    page.goto("/")
    page.get_by_role("link", name="Alert", exact=True).tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("A-01")
    page.get_by_text("Bring TAN down", exact=False).last.tap()
    page.get_by_role("button", name="I see to it").tap()
    expect(page.get_by_text("You see to A-01.")).to_be_visible()

    page.get_by_role("link", name="Clear with its cause").tap()
    page.get_by_text("Fed too much").tap()
    page.get_by_text("Yes", exact=True).tap()
    page.get_by_role("button", name="Clear the alert").tap()

    expect(page.get_by_text("Nothing calls anybody now.")).to_be_visible()
    alert.refresh_from_db()
    assert (alert.cause, alert.accepted_by, alert.action_needed) == ("FEEDING", house.mo, True)
    assert alert.act.startswith("Bring TAN down")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_its_pages_are_legible_by_day_and_by_night(
    another: Opener, house: House, alert: Alert, scheme: str
) -> None:
    page = signed_in(another(PHONE, color_scheme=scheme), house.mo)
    rule = house.site.alarm_rules.get(code="ph-fall")
    faults: list[str] = []
    for address in (
        "/alerts/",
        f"/alerts/{alert.pk}/",
        f"/alerts/{alert.pk}/clear/",
        "/alerts/week/",
        "/alerts/times/",
        "/source-water/",
        f"/sites/{house.site.pk}/source-water/",
        f"/sites/{house.site.pk}/call-times/",
        f"/sites/{house.site.pk}/maintenance/",
        "/alarm-rules/",
        f"/sites/{house.site.pk}/alarm-rules/",
        f"/alarm-rules/{rule.pk}/",
        "/",
        alert.url,
    ):
        page.goto(address)
        faults += faults_of(page)

    assert faults == []
