"""One phone, two people, signal that comes and goes: every entry is its maker's."""

import time
from collections.abc import Iterator

import pytest
from django.core.cache import caches
from playwright.sync_api import Browser, Locator, Page, expect
from pytest_django.live_server_helper import LiveServer

from facility.models import Person, Sent
from tanks.models import Feeding, Reading, Vessel
from tests.cast import House
from tests.facility.shared_phones import PIN, TOKEN, paired, pin_for
from tests.journeys.phones import carried_by, keeps, settled
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

ANAS, MOS = PIN, "90210"


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def page(browser: Browser, live_server: LiveServer, house: House) -> Iterator[Page]:
    """A shared phone, signed in as Ana."""
    caches["default"].clear()
    paired(house)
    pin_for(house, house.ana, ANAS)
    pin_for(house, house.mo, MOS)
    with carried_by(browser, live_server.url, house.ana, token=TOKEN) as phone:
        yield phone.new_page()


def test_a_phone_changes_hands_in_two_seconds_with_signal_and_without(
    page: Page, house: House, tank: Vessel
) -> None:
    page.goto(f"/tanks/{tank.pk}/")
    assert keeps(page, f"/tanks/{tank.pk}/feeding/")
    taken_over(page, house.mo, MOS)
    expect_hands(page, house.mo)
    taken_over(page, house.ana, ANAS)
    expect_hands(page, house.ana)

    page.context.set_offline(True)
    page.goto(f"/tanks/{tank.pk}/feeding/")
    feed(page, grams=1)
    begun = time.monotonic()
    taken_over(page, house.mo, MOS)
    expect_hands(page, house.mo)
    took_s = time.monotonic() - begun
    feed(page, grams=2)
    page.context.set_offline(False)
    assert settled(page, "sent", "sent")
    page.goto("/today/")
    expect_hands(page, house.mo)

    assert {(int(row.grams), row.by) for row in Feeding.objects.all()} == {
        (1, house.ana),
        (2, house.mo),
    }
    assert {sent.handset for sent in Sent.objects.all()} == {house.site.handsets.get()}
    # The figure; a phone of today is no slower than this machine under test.
    assert took_s < 2


def test_without_signal_a_wrong_pin_opens_nothing(page: Page, house: House, tank: Vessel) -> None:
    page.goto(f"/tanks/{tank.pk}/")
    assert keeps(page, f"/tanks/{tank.pk}/")
    taken_over(page, house.mo, MOS)
    expect_hands(page, house.mo)
    page.context.set_offline(True)
    page.goto(f"/tanks/{tank.pk}/")

    taken_over(page, house.mo, "73951")
    expect(page.get_by_text("This is not the PIN; enter it again.")).to_be_visible()
    # Ana has not taken this phone over with signal yet.
    taken_over(page, house.ana, ANAS, is_open=True)

    expect(page.get_by_text("Take this phone over once with signal")).to_be_visible()


def test_an_idle_phone_locks_and_keeps_what_was_typed(
    page: Page, house: House, tank: Vessel
) -> None:
    page.clock.install()
    page.goto(f"/tanks/{tank.pk}/feeding/")
    page.get_by_label("Feed given").fill("3")
    page.clock.run_for(6 * 60 * 1000)
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_be_visible()

    taken_over(page, house.ana, ANAS, is_open=True)

    expect(page.get_by_role("dialog")).to_be_hidden()
    expect(page.get_by_label("Feed given")).to_have_value("3")
    page.get_by_label("Protein in it").fill("45")
    page.get_by_role("button", name="Record the feed").tap()
    expect(page.get_by_text("Feed of A-01 recorded.")).to_be_visible()


@pytest.mark.xfail(
    strict=False,
    reason="Typing over the refilled value sometimes keeps the old text: 0.3nonsense is refused.",
)
def test_a_refused_entry_is_confirmed_mended_or_dropped(
    page: Page, house: House, tank: Vessel
) -> None:
    kit(house, "TAN", name="Ammonia drops")
    page.goto(f"/tanks/{tank.pk}/readings/")
    assert keeps(page, f"/tanks/{tank.pk}/readings/")
    page.context.set_offline(True)
    page.goto(f"/tanks/{tank.pk}/readings/")
    for text in ("0.2", "80", "nonsense", "also nonsense"):
        page.locator("#row-TAN input.big").fill(text)
        page.get_by_role("button", name="Save").tap()
        expect(page.get_by_text("On this device: Readings of A-01")).to_be_visible()
        page.locator("#entry-says").evaluate("(one) => one.remove()")
    page.context.set_offline(False)
    assert settled(page, "sent", "refused", "refused", "refused")

    page.goto("/outbox/")
    surprising, unreadable, other = page.get_by_role("listitem").filter(has_text="refused").all()
    expect(surprising).to_contain_text("80")
    other.get_by_text("Drop it").first.tap()
    other.get_by_label("Why is it dropped?").fill("The wrong tank.")
    other.get_by_role("button", name="Drop it").tap()
    expect(page.get_by_text("dropped", exact=True)).to_be_visible()
    mended_on_its_sheet(page, unreadable)
    page.goto("/outbox/")
    expect(page.get_by_text("sent", exact=True)).to_have_count(2)
    surprising.get_by_role("button", name="It is right, keep it").tap()

    expect(page.get_by_text("sent", exact=True)).to_have_count(3)
    entered = sorted(row.as_entered for row in Reading.objects.all())
    assert entered == ["0.2", "0.3", "80"]
    assert Sent.objects.filter(sentence="Dropped: The wrong tank.").count() == 1


def mended_on_its_sheet(page: Page, entry: Locator) -> None:
    entry.get_by_role("link", name="Mend it on its sheet").tap()
    expect(page.get_by_text("was refused:")).to_be_visible()
    expect(page.locator("#row-TAN input.big")).to_have_value("nonsense")
    page.locator("#row-TAN input.big").fill("0.3")
    page.get_by_role("button", name="Save").tap()
    expect(page.get_by_text("Sent again: Readings of A-01")).to_be_visible()
    assert settled(page, "sent", "refused", "dropped", "sent")


def taken_over(page: Page, person: Person, pin: str, *, is_open: bool = False) -> None:
    if not is_open and not page.get_by_role("dialog").is_visible():
        page.get_by_role("button", name="Menu").tap()
        page.get_by_role("button", name="Change hands").tap()
    dialog = page.get_by_role("dialog")
    dialog.get_by_text(person.initials, exact=True).tap()
    dialog.get_by_label("PIN").fill(pin)
    dialog.get_by_role("button", name="Take over").tap()


def expect_hands(page: Page, person: Person) -> None:
    expect(page.locator("[data-hands-name]")).to_have_text(person.full_name)
    expect(page.get_by_role("dialog")).to_be_hidden()


def feed(page: Page, *, grams: int) -> None:
    page.get_by_label("Feed given").fill(str(grams))
    page.get_by_label("Protein in it").fill("45")
    page.get_by_role("button", name="Record the feed").tap()
    expect(page.get_by_text(f"On this device: Feed of A-01: {grams} g")).to_be_visible()
