"""A phone and a desk that are real browsers, and complain aloud about what they find."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final, Protocol

from playwright.sync_api import Browser, ConsoleMessage, Page, expect

from facility.models import Person
from tests.cast import PASSWORD

# As root and without a graphics card; nothing is asked of the network behind our backs.
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# A machine that builds for others may leave a page waiting; who waits in vain only waits longer.
_PATIENCE_MS: Final = 20_000
# The first page of a run waits until everything is imported.
_ARRIVAL_MS: Final = 30_000
# A sheet that is refused comes back as 422: the browser calls every such answer an error.
# A label out of use is answered 410.
# Leaving a page while a preview is under way ends the preview, and htmx says so.
# A browser of tests keeps nothing, and says that nobody can call it.
_EXPECTED: Final = (
    "status of 422",
    "status of 410",
    "htmx:sendAbort",
    "htmx:afterRequest",
    "Push API in incognito mode",
    "registration blocked by Playwright",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """``options`` are a browser context's own."""

    options: dict[str, Any]


class Opener(Protocol):
    def __call__(self, screen: Screen, **options: Any) -> Page: ...


PHONE: Final = Screen(
    options={
        "viewport": {"width": 390, "height": 844},
        "device_scale_factor": 2,
        "has_touch": True,
        "is_mobile": True,
    }
)
DESK: Final = Screen(options={"viewport": {"width": 1440, "height": 900}})


@contextmanager
def opened(browser: Browser, screen: Screen, *, at: str, **options: Any) -> Iterator[Page]:
    """A page of its own, signed in nowhere; afterwards it must have had nothing to complain of.

    Without ``service_workers="allow"`` nothing is fetched behind the page: a worker still at it
    when the test ends asks a server whose database is being emptied.
    """
    told = {"service_workers": "block"} | screen.options | options
    with browser.new_context(base_url=at, **told) as context:
        context.set_default_timeout(_PATIENCE_MS)
        context.set_default_navigation_timeout(_ARRIVAL_MS)
        expect.set_options(timeout=_PATIENCE_MS)
        page = context.new_page()
        complaints: list[str] = []
        page.on("console", lambda message: complaints.extend(_complaint(message)))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        yield page
        assert not complaints, complaints


def sign_in(page: Page, person: Person) -> None:
    """Through the sign-in sheet that is open now."""
    page.get_by_label("Name", exact=True).fill(person.username)
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    # The sheet has a heading too: whoever went on at once would break the answer off.
    page.wait_for_url(lambda url: "/sign-in/" not in url)


def signed_in(page: Page, person: Person) -> Page:
    page.goto("/sign-in/")
    sign_in(page, person)
    page.get_by_role("heading", level=1).first.wait_for()
    return page


def overflow_px(page: Page) -> int:
    """How far the page is wider than the screen."""
    wider = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
    return int(page.evaluate(wider))


def _complaint(message: ConsoleMessage) -> list[str]:
    is_expected = any(words in message.text for words in _EXPECTED)
    is_one = message.type in {"error", "warning"} and not is_expected
    return [message.text] if is_one else []
