"""A shift without signal: what is entered on the phone is recorded, all of it, and once."""

import random
from typing import Final

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from deploy.addresses import Addresses
from facility.models import Entry, Sent
from facility.queries.proof import first_breach
from tanks.models import Feeding, Vessel
from tests.cast import House
from tests.journeys.phones import carried_by, keeps
from tests.races.serving import serving
from tests.tanks.estate import measured, vessel_of

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

TANKS: Final = 4
ENTRIES: Final = 40


def test_a_shift_of_forty_entries_with_the_network_cut_and_the_server_killed(
    browser: Browser, own_servers: Addresses, house: House
) -> None:
    tanks = [vessel_of(house, code=f"A-0{number}") for number in range(1, TANKS + 1)]
    for tank in tanks:
        measured(house, tank, litres="400")
    chance = random.Random(4)  # noqa: S311  the moments are any; that they repeat helps to look
    deaths = set(chance.sample(range(ENTRIES), 2))
    with serving(own_servers) as server, carried_by(browser, server.url, house.ana) as phone:
        page = phone.new_page()
        for tank in tanks:
            page.goto(f"/tanks/{tank.pk}/")
            assert keeps(page, feeding_of(tank))
        for number in range(ENTRIES):
            phone.set_offline(chance.random() < 0.6)
            if number in deaths:
                server.kill()
            feed(page, tanks[number % TANKS], grams=number + 1)
            if number in deaths:
                server.start()
        phone.set_offline(False)
        page.goto("/outbox/")
        expect(page.get_by_text("on this device", exact=True)).to_have_count(0, timeout=60000)

    assert sorted(int(row.grams) for row in Feeding.objects.all()) == list(range(1, ENTRIES + 1))
    assert Entry.objects.filter(kind="tanks.log-feeding", by=house.ana).count() == ENTRIES
    # Some went straight through, most waited on the phone.
    assert ENTRIES // 3 < Sent.objects.filter(answer="SAVED").count() < ENTRIES
    assert first_breach(house.site) is None


def test_a_label_scanned_without_signal_opens_the_kept_page_and_says_how_old_it_is(
    browser: Browser, live_server: LiveServer, house: House
) -> None:
    tank = vessel_of(house)
    other = vessel_of(house, code="A-02")
    with carried_by(browser, live_server.url, house.ana) as phone:
        page = phone.new_page()
        page.goto(f"/tanks/{tank.pk}/")
        assert keeps(page, f"/tanks/{tank.pk}/")
        assert keeps(page, f"/tanks/{tank.pk}/readings/")
        phone.set_offline(True)

        page.goto(f"/T/{tank.labels.get().code}")
        expect(page.get_by_role("heading", level=1)).to_contain_text("A-01")
        expect(page.locator("#away")).to_contain_text("No signal: this page is as it was at")
        page.get_by_role("link", name="Log readings").tap()
        expect(page.get_by_role("heading", level=1)).to_have_text("Log readings of A-01")

        # Another tank's label never opens this one.
        page.goto(f"/T/{other.labels.get().code}")
        expect(page.get_by_text("is not on this device")).to_be_visible()


def test_what_was_kept_goes_with_who_signs_out(
    browser: Browser, live_server: LiveServer, house: House
) -> None:
    tank = vessel_of(house)
    with carried_by(browser, live_server.url, house.ana) as phone:
        page = phone.new_page()
        page.goto(f"/tanks/{tank.pk}/")
        assert keeps(page, f"/tanks/{tank.pk}/")
        page.get_by_role("button", name="Menu").tap()
        page.get_by_role("button", name="Sign out").tap()
        expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
        phone.set_offline(True)

        page.goto(f"/tanks/{tank.pk}/")

        expect(page.get_by_text("is not on this device")).to_be_visible()
        expect(page.get_by_text("A-01")).to_have_count(0)


def feeding_of(tank: Vessel) -> str:
    return f"/tanks/{tank.pk}/feeding/"


def feed(page: Page, tank: Vessel, *, grams: int) -> None:
    """From the tank's own page, as the round leads there."""
    page.goto(feeding_of(tank))
    page.get_by_label("Feed given").fill(str(grams))
    page.get_by_label("Protein in it").fill("45")
    page.get_by_role("button", name="Record the feed").tap()
    told = page.get_by_text("On this device:").or_(
        page.get_by_text(f"Feed of {tank.code} recorded.")
    )
    expect(told.first).to_be_visible()
