"""A late comer on a phone: whose release moves is said before anything is saved."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from quarantine.models import Move
from quarantine.queries.clocks import clock_of
from tests.cast import House
from tests.journeys.browser import overflow_px, signed_in
from tests.quarantine.dying import arrived
from tests.quarantine.staying import DAY, tank_behind
from tests.tanks.estate import opened

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_whose_release_moves_is_said_before_it_is_saved(phone: Page, house: House) -> None:
    now = timezone.now()
    system = tank_behind(house, "QS", kind="SYSTEM")
    first, second = tank_behind(house, "Q-1"), tank_behind(house, "Q-2")
    for tank in (first, second):
        opened(house, tank, system, at=now - 30 * DAY)
    early = arrived(house, first, count=12, at=now - 10 * DAY)
    alone, spare = tank_behind(house, "Q-8"), tank_behind(house, "Q-9")
    late = arrived(house, alone, count=6, at=now - DAY)
    before = clock_of(first, at=now).ends_at

    signed_in(phone, house.ana).goto(f"/waters/{alone.pk}/animals/")
    phone.get_by_role("link", name=f"Move {late.code} out of Q-8").click()
    phone.get_by_label("Into").select_option(label="Q-2, Back room")
    told = phone.locator("#late-comer")

    expect(told).to_contain_text("This moves the release of 1 lot already there")
    expect(told).to_contain_text(f"{early.code} in Q-1")
    expect(told).to_contain_text("Other waters that hold no animals: Q-9")
    assert overflow_px(phone) == 0
    assert not Move.objects.exists()

    phone.get_by_label("Into").select_option(label="Q-9, Back room")
    expect(told).to_contain_text("Nobody's release moves by this entry.")
    phone.get_by_label("How many").fill("6")
    phone.get_by_role("button", name="Record the move").click()

    expect(phone.get_by_role("heading", level=1)).to_contain_text("Q-9")
    move = Move.objects.get()
    assert (move.change.to_vessel, move.change.count) == (spare, 6)
    assert clock_of(first, at=timezone.now() + timedelta(seconds=1)).ends_at == before
