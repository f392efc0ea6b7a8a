"""Doubt counts as no: the gate names all that is missing, and opens by a signature."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from quarantine.models import Admission, Stocking
from tanks.models import Cycle
from tests.cast import PASSWORD, House
from tests.journeys.browser import signed_in
from tests.quarantine.ready import FIT
from tests.tanks.proving import HOUR
from tests.tanks.startups import under_way

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_the_gate_says_what_is_missing_and_then_opens_by_signature(
    desk: Page, house: House
) -> None:
    known = under_way(house, days=6)
    signed_in(desk, house.mo).goto(f"/waters/{known.vessel.pk}/gate/")

    expect(desk.get_by_role("status").and_(desk.locator(".notice"))).to_contain_text("Not yet: ")
    missing = desk.get_by_role("region", name="Not met").or_(
        desk.get_by_role("region", name="Unknown")
    )
    for title in ("Certified feed signed and in force", "Temperature", "pH", "Alkalinity"):
        expect(missing.get_by_text(title).first).to_be_visible()
    expect(desk.get_by_role("button", name="Sign and open")).to_have_count(0)

    now = timezone.now()
    known.certified(at=now - 51 * HOUR)
    for parameter, text in FIT.items():
        known.read(parameter, text, at=now - HOUR)
    desk.reload()

    expect(desk.get_by_role("status").and_(desk.locator(".notice"))).to_contain_text("Yes: all ")
    desk.get_by_label("Your password, again").fill(PASSWORD)
    desk.get_by_role("button", name="Sign and open").click()

    expect(desk.get_by_role("heading", level=1)).to_have_text("What entered A-01?")
    admission = Admission.objects.get()
    assert (admission.vessel, admission.by) == (known.vessel, house.mo)
    assert {one["state"] for one in admission.requirements} == {"met"}
    assert timezone.now() - admission.happened_at < timedelta(minutes=2)

    desk.get_by_label("How many animals").fill("12")
    desk.get_by_label("What", exact=True).fill("Banded rasbora, 3 cm")
    desk.get_by_role("button", name="Record it").click()

    desk.get_by_text("12 animals entered").wait_for()
    assert Stocking.objects.get().count == 12
    assert Cycle.objects.get().outcome == "STOCKED"
