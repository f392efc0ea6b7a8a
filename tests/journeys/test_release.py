"""A release is refused with everything that stands in its way, and signed when nothing does."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from quarantine.models import Move, Release, Stocking
from quarantine.queries.books import held_by
from tanks.models import Cycle
from tests.cast import PASSWORD, House
from tests.journeys.browser import overflow_px, signed_in
from tests.quarantine.ready import FIT
from tests.quarantine.staying import DAY, held, lifted, ready_to_leave, tank_behind
from tests.tanks.proving import HOUR, Proving
from tests.tanks.startups import under_way

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_a_release_is_refused_and_then_signed(desk: Page, phone: Page, house: House) -> None:
    now = timezone.now()
    known, tank = under_way(house, days=6), tank_behind(house, "Q-1")
    lot = ready_to_leave(house, tank, at=now - HOUR)
    hold = held(house, lot=lot, at=now - 2 * DAY)

    signed_in(desk, house.vera).goto(f"/waters/{tank.pk}/animals/")
    desk.get_by_role("link", name=f"Release {lot.code} from Q-1").click()
    _asks_to_release(desk)

    notice = desk.get_by_role("status").and_(desk.locator(".notice"))
    expect(notice).to_contain_text("Not yet: ")
    expect(desk.get_by_role("region", name="Leaving: Not met")).to_contain_text("White spots")
    expect(desk.get_by_role("region", name="Entering: Not met")).to_contain_text("Certified feed")
    expect(desk.get_by_role("button", name="Sign and release")).to_have_count(0)
    assert not Release.objects.exists()

    lifted(house, hold, at=now - DAY)
    _prove(known)
    desk.reload()

    expect(notice).to_contain_text("Yes: all ")
    _signs(desk)
    release = Release.objects.get()
    assert (release.by, release.count, release.destination) == (house.vera, 12, known.vessel)
    assert timezone.now() - release.happened_at < timedelta(minutes=2)

    signed_in(phone, house.ana).goto(f"/lots/{lot.pk}/release/{tank.pk}/")
    _moves(phone)

    assert Move.objects.get().release == release
    assert held_by(lot, at=timezone.now()) == {tank.pk: 8, known.vessel.pk: 12}
    assert Stocking.objects.get().count == 12
    assert Cycle.objects.get().outcome == "STOCKED"


def _asks_to_release(page: Page) -> None:
    page.get_by_label("Into", exact=True).select_option(label="A-01, Front room")
    page.get_by_label("How many").fill("12")
    page.get_by_label("Feed they will get there").fill("3")
    page.get_by_role("button", name="Judge both waters").click()


def _prove(known: Proving) -> None:
    """The water passes, is certified and read again."""
    known.certified(at=timezone.now() - 51 * HOUR)
    for parameter, text in FIT.items():
        known.read(parameter, text, at=timezone.now() - HOUR)


def _signs(page: Page) -> None:
    """With a wrong password first."""
    page.get_by_label("Your password, again").fill("not the password")
    page.get_by_role("button", name="Sign and release").click()
    expect(page.get_by_text("This is not the password of Vera Lund").first).to_be_visible()
    assert not Release.objects.exists()
    page.get_by_label("Your password, again").fill(PASSWORD)
    page.get_by_role("button", name="Sign and release").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Animals in the water of Q-1")


def _moves(page: Page) -> None:
    page.get_by_role("link", name="Record the move").click()
    assert overflow_px(page) == 0
    page.get_by_role("button", name="Record the move").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("A-01")
