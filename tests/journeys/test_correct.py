"""A slip is mended in the open: the first value stays to be seen."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from tanks.models import Reading
from tests.cast import House
from tests.journeys.browser import signed_in
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_a_keeper_corrects_a_reading_and_the_meaning_follows(phone: Page, house: House) -> None:
    vessel = vessel_of(house)
    at = timezone.now() - timedelta(hours=1)
    first = logged(house, vessel, kit(house, "TAN"), "5", at=at)
    for parameter, text in (("PH", "8.2"), ("TEMPERATURE", "25")):
        logged(house, vessel, kit(house, parameter), text, at=at)
    signed_in(phone, house.ana).goto(f"/tanks/{vessel.pk}/")
    meaning = phone.get_by_role("region", name="What this means")
    # 5 and 0.5 mg/L x 0.0825, Emerson et al. 1975 at 25 °C and pH 8.2.
    expect(meaning).to_contain_text("Un-ionised ammonia is about 0.41 mg/L as N")

    line = phone.get_by_role("listitem").filter(has_text="Total ammonia nitrogen")
    line.get_by_role("link", name="Correct").tap()
    phone.get_by_label("It should read").fill("0.5")
    phone.get_by_role("button", name="Correct").tap()

    expect(phone.get_by_role("alert")).to_contain_text("Why: ")
    expect(phone.get_by_label("It should read")).to_have_value("0.5")
    assert Reading.objects.current().get(parameter="TAN") == first

    phone.get_by_label("Why").fill("Forgot the decimal point")
    phone.get_by_role("button", name="Correct").tap()

    expect(phone.get_by_role("deletion").filter(has_text="5")).to_be_visible()
    expect(phone.get_by_text("Reason: Forgot the decimal point")).to_be_visible()
    expect(meaning).to_contain_text("Un-ionised ammonia is about 0.041 mg/L as N")
    kept = Reading.objects.current().get(parameter="TAN")
    assert (kept.as_entered, kept.corrects, kept.by) == ("0.5", first, house.ana)
    assert Reading.objects.filter(parameter="TAN").count() == 2
