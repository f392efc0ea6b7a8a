"""A manager shares a morning out, by thumb and by keyboard; each finds their own round."""

import pytest
from django.utils import timezone
from playwright.sync_api import Locator, Page, expect

from facility.models import Round, Task
from tests.cast import House
from tests.facility.rounds import granted, on_shift
from tests.facility.working import asked
from tests.journeys.browser import PHONE, Opener, signed_in
from tests.tanks.estate import vessel_of

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_a_morning_is_assigned_by_thumb(phone: Page, another: Opener, house: House) -> None:
    test, walk, photometer = _a_morning(house)
    signed_in(phone, house.mo).goto("/rounds/")
    phone.get_by_role("link", name="Draw up rounds").tap()
    expect(phone.get_by_text("This is a proposal")).to_be_visible()
    # Only Ana may use the photometer; the draft never gives it to Mo.
    expect(_column(phone, "Ana Quill")).to_contain_text("Photometer check")

    for title in ("Test A-01", "Walk the front room"):
        phone.get_by_role("checkbox", name=title).tap()
    phone.get_by_role("button", name="Give the picked to Mo Tarrant").tap()
    expect(_column(phone, "Mo Tarrant")).to_contain_text("Test A-01")
    expect(_column(phone, "Mo Tarrant")).to_contain_text("kept")
    phone.get_by_role("button", name="Save the rounds").tap()

    phone.get_by_text("The rounds are drawn up.").wait_for()
    rounds = {row.person: [stop["task"] for stop in row.stops] for row in Round.objects.all()}
    assert rounds[house.ana] == [str(photometer.pk)]
    assert set(rounds[house.mo]) == {str(test.pk), str(walk.pk)}

    own = signed_in(another(PHONE), house.ana)
    own.goto("/round/")
    own.get_by_role("link", name="Photometer check").tap()
    own.get_by_role("button", name="It is done").tap()
    own.get_by_text("0 of 1 to do").wait_for()


def test_a_morning_is_assigned_by_keyboard(desk: Page, house: House) -> None:
    _, walk, _ = _a_morning(house)
    signed_in(desk, house.mo).goto(f"/sites/{house.site.pk}/rounds/")
    pick = desk.get_by_role("checkbox", name="Walk the front room")
    pick.focus()
    desk.keyboard.press("Space")
    is_anas = "Walk" in (_column(desk, "Ana Quill").text_content() or "")

    desk.keyboard.press("ArrowRight" if is_anas else "ArrowLeft")

    other = "Mo Tarrant" if is_anas else "Ana Quill"
    expect(_column(desk, other)).to_contain_text("Walk the front room")
    expect(pick).to_be_focused()
    expect(pick).to_be_checked()
    others = _column(desk, other).get_by_role("checkbox")
    is_first = others.first.get_attribute("value") == str(walk.pk)
    desk.keyboard.press("ArrowDown" if is_first else "ArrowUp")
    expect(others.nth(1 if is_first else 0)).to_have_value(str(walk.pk))
    desk.get_by_role("button", name="Save the rounds").press("Enter")
    desk.get_by_text("The rounds are drawn up.").wait_for()
    given = Round.objects.get(person=house.mo if is_anas else house.ana)
    assert str(walk.pk) in [stop["task"] for stop in given.stops]


def _a_morning(house: House) -> tuple[Task, Task, Task]:
    now = timezone.now()
    for person in (house.ana, house.mo):
        on_shift(house, person, at=now)
    granted(house, house.ana, at=now)
    vessel = vessel_of(house)
    test = asked(
        house,
        at=now,
        title="Test A-01",
        kind="TEST",
        about=f"tanks.vessel:{vessel.pk}",
        asks={"deeds": ["tanks.log-readings"], "parameters": ["TAN"]},
    )
    walk = asked(house, at=now, minutes=5)
    photometer = asked(
        house, at=now, title="Photometer check", kind="CALIBRATE", skill="photometer", minutes=20
    )
    return test, walk, photometer


def _column(page: Page, name: str) -> Locator:
    return page.get_by_role("region", name=name, exact=True)
