"""All that was done for one water, to read on screen and to hand over on paper."""

import pytest
from playwright.sync_api import Page, expect

from tests.cast import House
from tests.journeys.browser import signed_in
from tests.tanks.startups import read_daily, under_way

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_the_dossier_opens_and_comes_as_a_file(desk: Page, house: House) -> None:
    known = under_way(house)
    read_daily(known)
    signed_in(desk, house.hale).goto(f"/cycles/{known.cycle.pk}/")

    desk.get_by_role("link", name="Dossier").click()

    expect(desk.get_by_role("heading", level=1)).to_have_text("Start-up dossier")
    expect(desk.get_by_role("main")).to_contain_text(">1.5")
    expect(desk.get_by_role("main")).to_contain_text("Ana Quill")
    address = desk.get_by_role("link", name="As PDF").get_attribute("href")
    answer = desk.request.get(str(address))
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF")
