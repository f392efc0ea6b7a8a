"""A dose is worked out for the water as it is at that moment, not as the tank is drawn."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from tanks.models import Connection, Dose
from tests.cast import House
from tests.journeys.browser import signed_in
from tests.tanks.estate import measured, opened, system_of, vessel_of
from tests.tanks.shelf import shelved

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_a_tank_shut_off_through_the_page_is_dosed_for_its_own_litres(
    phone: Page, house: House
) -> None:
    system, tank = system_of(house), vessel_of(house)
    measured(house, system, litres="900")
    measured(house, tank, litres="100")
    opened(house, tank, system)
    shelved(house)
    signed_in(phone, house.mo).goto(f"/tanks/{tank.pk}/dose/?purpose=AMMONIA")
    phone.get_by_label("Target").fill("2")
    # NH4Cl 53.49 g/mol, N 14.007 g/mol (CIAAW weights): 2 mg/L-N x 1000 L = 2 g N = 7.64 g.
    working = phone.locator("#working")
    expect(working).to_contain_text("Measure out 7.64 g")

    phone.goto(f"/waters/{tank.pk}/")
    phone.get_by_role("link", name="Close the valve of A-01").tap()
    phone.get_by_label("Why").fill("Bath treatment")
    ahead = timezone.localtime(timezone.now() + timedelta(days=1), house.site.zone)
    phone.get_by_label("To be opened again by").fill(f"{ahead:%Y-%m-%dT%H:%M}")
    phone.get_by_role("button", name="Record: closed for a while").tap()
    phone.get_by_text("shares its water with no other vessel").wait_for()

    phone.goto(f"/tanks/{tank.pk}/dose/?purpose=AMMONIA")
    phone.get_by_label("Target").fill("2")
    expect(working).to_contain_text("Measure out 0.76 g")
    phone.get_by_label("What you measured out").fill("0.76")
    # 0.76 g x 14.007 / 53.49 / 100 L = 1.99 mg/L-N.
    expect(phone.locator("#gives")).to_contain_text("1.99 mg/L-N")
    phone.get_by_role("button", name="Record the dose").tap()

    phone.wait_for_url(lambda url: "/dose/" not in url)
    dose = Dose.objects.get()
    assert (dose.vessel, dose.amount, dose.by) == (tank, Decimal("0.760"), house.mo)
    assert dose.water_litres == Decimal(100)
    assert timezone.now() - dose.happened_at < timedelta(minutes=2)
    assert Connection.objects.get().period.upper is not None
