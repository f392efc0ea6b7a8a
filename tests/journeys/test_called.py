"""A push as the phone's browser hands it to the worker; what a push server does is not tried."""

import json
from typing import Any

import pytest
from playwright.sync_api import Page

from facility.commands.push_keys import application_server_key
from tests.cast import House
from tests.facility.alerting import a_sign, raised
from tests.journeys.browser import PHONE, Opener, signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

_SHOWN = """
async () => {
  const here = await navigator.serviceWorker.ready;
  const shown = await here.getNotifications();
  return shown.map(({ title, body, tag, data }) => ({ title, body, tag, data }));
}
"""


def test_a_push_is_shown_once_however_often_it_comes(another: Opener, house: House) -> None:
    alert = raised(house, a_sign(level=1))
    told = {"id": "one", "title": "Act now: A-01", "text": "TAN 0.5.", "level": 1}
    told["url"] = f"/alerts/{alert.pk}/"
    page = signed_in(
        another(PHONE, permissions=["notifications"], service_workers="allow"), house.mo
    )
    page.evaluate("() => navigator.serviceWorker.ready.then(() => null)")

    for _ in range(2):
        _pushed(page, told)
    page.wait_for_function(f"async () => (await ({_SHOWN})()).length > 0")
    (shown,) = page.evaluate(_SHOWN)

    assert shown == {
        "title": "Act now: A-01",
        "body": "TAN 0.5.",
        "tag": "one",
        "data": {"url": told["url"]},
    }


def test_a_phone_that_gets_no_subscription_says_so(another: Opener, house: House) -> None:
    """Here no push server can be reached, as at a house without the internet."""
    page = signed_in(
        another(PHONE, permissions=["notifications"], service_workers="allow"), house.mo
    )
    page.goto(f"/sites/{house.site.pk}/channels/new/?by=phone")

    page.get_by_role("button", name="Call this phone").click()

    page.get_by_text("The browser gave no subscription").wait_for()
    assert page.locator("[data-server-key]").get_attribute("data-server-key") == (
        application_server_key()
    )
    assert not house.mo.channels.exists()


def _pushed(page: Page, told: dict[str, Any]) -> None:
    """Through the browser's own tools for developers."""
    tools = page.context.new_cdp_session(page)
    seen: list[dict[str, Any]] = []

    def note(event: dict[str, Any]) -> None:
        seen.append(event)

    tools.on("ServiceWorker.workerRegistrationUpdated", note)
    tools.send("ServiceWorker.enable")
    while not seen:
        page.wait_for_timeout(50)
    (registration,) = seen[-1]["registrations"]
    tools.send(
        "ServiceWorker.deliverPushMessage",
        {
            "origin": registration["scopeURL"].rstrip("/"),
            "registrationId": registration["registrationId"],
            "data": json.dumps(told),
        },
    )
