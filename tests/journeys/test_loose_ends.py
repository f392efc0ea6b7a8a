"""What is left for a while is seen by everybody until it is put right, on a phone."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from facility.models import LooseEnd, LooseEndReturn
from tanks.models import Connection, ValveLoan
from tests.cast import House
from tests.facility.loose import left
from tests.journeys.browser import DESK, PHONE, Opener, Screen, signed_in
from tests.journeys.test_pages import faults_of
from tests.tanks.estate import device_on, measured, opened, system_of, vessel_of
from tests.tanks.walking import lent, sign_of, walked

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def connection(house: House) -> Connection:
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="80")
    measured(house, system, litres="1720")
    return opened(house, tank, system, valve="V 1")


def test_a_hose_is_left_running_seen_and_put_right(
    phone: Page, another: Opener, house: House, connection: Connection
) -> None:
    address = f"/tanks/{connection.vessel_id}/"
    signed_in(phone, house.ana).goto(address)
    phone.get_by_role("link", name="Leave something for a while").tap()
    phone.wait_for_load_state()
    phone.get_by_text("Hose or fill running").tap()
    phone.get_by_label("What", exact=True).fill("Fill hose in the tank")
    phone.get_by_label("Why").fill("Topping up after the change")
    ahead = timezone.localtime(timezone.now() + timedelta(hours=2), house.site.zone)
    phone.get_by_label("To be put right by").fill(f"{ahead:%Y-%m-%dT%H:%M}")
    phone.get_by_role("button", name="Put it on the list").tap()

    expect(phone.get_by_text("It is on the list until it is put right.")).to_be_visible()
    expect(phone.get_by_text("Fill hose in the tank").first).to_be_visible()

    desk = signed_in(another(DESK), house.mo)
    desk.goto("/closing/")
    row = desk.get_by_role("listitem").filter(has_text="Fill hose in the tank")
    expect(row).to_contain_text("Ana Quill")
    row.get_by_role("link", name="Put right").click()
    desk.get_by_role("button", name="It is put right").click()

    expect(desk.get_by_text("Put right: Fill hose in the tank.")).to_be_visible()
    expect(desk.get_by_role("heading", name="Not put right yet")).to_be_hidden()
    phone.goto(address)
    expect(phone.get_by_role("heading", name="Not put right yet")).to_be_hidden()
    assert LooseEndReturn.objects.get().by == house.mo
    assert LooseEnd.objects.get().by == house.ana


def test_a_valve_closed_for_a_while_is_opened_again_from_the_list(
    phone: Page, house: House, connection: Connection
) -> None:
    signed_in(phone, house.ana).goto(f"/waters/{connection.vessel_id}/")
    phone.get_by_role("link", name="Close the valve of A-01").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("for a while")
    phone.wait_for_load_state()
    phone.get_by_label("Why").fill("Bath treatment")
    ahead = timezone.localtime(timezone.now() + timedelta(days=1), house.site.zone)
    phone.get_by_label("To be opened again by").fill(f"{ahead:%Y-%m-%dT%H:%M}")
    expect(phone.locator("#effect")).to_contain_text("A-01: 80 L net; S-1: 1720 L net")
    phone.get_by_role("button", name="Record: closed for a while").tap()

    loose = phone.get_by_role("region", name="Not put right yet")
    expect(loose).to_contain_text("Valve between A-01 and S-1 is closed")
    expect(loose).to_contain_text("No feed or no net volume is known of it")
    loose.get_by_role("link", name="Put right").tap()
    phone.get_by_role("button", name="Record").tap()

    expect(phone.get_by_role("heading", level=1)).to_contain_text("Water of S-1")
    expect(loose).to_be_hidden()
    assert ValveLoan.objects.get().why == "Bath treatment"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("screen", [PHONE, DESK], ids=["phone", "desk"])
def test_the_pages_of_the_end_of_a_shift_are_legible(
    another: Opener, house: House, connection: Connection, screen: Screen, scheme: str
) -> None:
    busy(house, connection)
    page = signed_in(another(screen, color_scheme=scheme), house.mo)

    assert list(faults_on(page, house, connection)) == []


def busy(house: House, connection: Connection) -> None:
    """One loose end of each kind, a walk with a sign, and a lot to tell."""
    now = timezone.now()
    left(house, at=now - timedelta(hours=3))
    left(house, at=now, about=f"tanks.vessel:{connection.vessel_id}", what="Hold", kind="HOLD")
    device_on(house, connection.system)
    walked(house, connection.vessel, sign_of(connection.vessel), at=now - timedelta(hours=1))
    lent(house, connection, at=now - timedelta(hours=2), due_back_at=now - timedelta(hours=1))


def faults_on(page: Page, house: House, connection: Connection) -> Iterator[str]:
    row = LooseEnd.objects.first()
    for address in (
        "/closing/",
        "/hand-over/",
        "/stop-list/",
        f"/sites/{house.site.pk}/hand-over/",
        f"/sites/{house.site.pk}/loose-ends/new/",
        f"/loose-ends/{row.pk if row else ''}/return/",
        f"/sites/{house.site.pk}/break/",
        f"/connections/{connection.pk}/lend/",
        f"/tanks/{connection.vessel_id}/",
        f"/waters/{connection.vessel_id}/",
        "/walks/",
        f"/areas/{house.area.pk}/walk/",
    ):
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        yield from faults_of(page)
