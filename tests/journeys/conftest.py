"""One browser for all journeys; a fresh page, signed in nowhere, for each."""

import os
import shutil
from collections.abc import Iterator
from contextlib import ExitStack

import pytest
from django.core.cache import caches
from playwright.sync_api import Browser, Page, sync_playwright
from pytest_django.live_server_helper import LiveServer

from tests.journeys.browser import DESK, FLAGS, PHONE, Opener, opened


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = shutil.which("chromium")
    if program is None:
        _do_without("Chromium is not on the PATH; on Debian: apt install chromium.")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def another(browser: Browser, live_server: LiveServer) -> Iterator[Opener]:
    """Open one more page on its own device, such as a second person's."""
    caches["default"].clear()
    with ExitStack() as stack:
        yield lambda screen, **options: stack.enter_context(
            opened(browser, screen, at=live_server.url, **options)
        )


@pytest.fixture
def phone(another: Opener) -> Page:
    return another(PHONE)


@pytest.fixture
def desk(another: Opener) -> Page:
    return another(DESK)


def _do_without(sentence: str) -> None:
    """Where the build is judged, a journey left out is a failure."""
    if os.environ.get("CI"):
        pytest.fail(sentence)
    pytest.skip(sentence)
