"""Phones that were signed in or paired a while ago, and that signal may leave."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, Page

from deploy.processes import wait_until
from facility.models import Person
from facility.queries.handsets import COOKIE
from tests.journeys.browser import PHONE

_KEPT = "caches.open('pages').then((all) => all.keys()).then((all) => all.map((one) => one.url))"
_ENTRIES = "penstock.outbox.list()"


@contextmanager
def carried_by(
    browser: Browser, url: str, person: Person, *, token: str = "", **options: Any
) -> Iterator[BrowserContext]:
    """A phone, shared if it has a ``token``; its pages must have made no mistake of their own.

    That the network is gone they may say on the console.
    """
    signed = Client()
    signed.force_login(person)
    cookies = {settings.SESSION_COOKIE_NAME: signed.cookies[settings.SESSION_COOKIE_NAME].value}
    cookies |= {COOKIE: token} if token else {}
    mistakes: list[str] = []
    with browser.new_context(base_url=url, **PHONE.options, **options) as phone:
        phone.set_default_timeout(10000)
        phone.add_cookies(
            [{"name": name, "value": value, "url": url} for name, value in cookies.items()]
        )
        phone.on("weberror", lambda error: mistakes.append(str(error.error)))
        yield phone
    assert not mistakes, mistakes


def keeps(page: Page, path: str, *, seconds: float = 20) -> bool:
    """Wait until the phone keeps the page at ``path``."""
    return wait_until(
        lambda: any(url.endswith(path) for url in page.evaluate(_KEPT)), seconds=seconds
    )


def states(page: Page) -> list[str]:
    """Of every entry the phone knows of, oldest first."""
    return [entry["state"] for entry in page.evaluate(_ENTRIES)]


def settled(page: Page, *wanted: str, seconds: float = 30) -> bool:
    """Wait until the entries stand so."""
    return wait_until(lambda: states(page) == list(wanted), seconds=seconds, poll_s=0.1)
