"""A morning's first person: what yesterday missed in one line, and a list that shrinks."""

from datetime import timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from facility.models import Completion
from tanks.models import Vessel
from tests.cast import House
from tests.facility.working import asked, raised, set_for
from tests.journeys.browser import overflow_px, signed_in
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

ASKS = {"deeds": ["tanks.log-readings"], "parameters": ["NITRITE"]}


@pytest.fixture
def system(house: House) -> Vessel:
    """M1, whose nitrite was last read three days ago and due yesterday and today."""
    now = timezone.now()
    vessel = vessel_of(house, code="M1", kind="SYSTEM", at=now - timedelta(days=5))
    measured(house, vessel, litres="900", at=now - timedelta(days=5))
    logged(house, vessel, kit(house, unit="mg/L", basis="N"), "0.05", at=now - timedelta(days=3))
    yesterday = (now - timedelta(days=1)).astimezone(house.site.zone)
    # The next turn has opened whatever the hour of the day.
    set_for(
        house,
        kind="TEST",
        title="Read nitrite of M1",
        about=f"tanks.vessel:{vessel.pk}",
        asks=ASKS,
        begins_on=yesterday.date(),
        clock=yesterday.time().replace(second=0, microsecond=0),
        opens_before_minutes=60,
        late_after_minutes=60,
        at=now - timedelta(days=2),
    )
    raised(house, until=now + timedelta(days=1), at=now)
    return vessel


def test_what_yesterday_missed_is_one_line_until_somebody_says_why(
    phone: Page, house: House, system: Vessel
) -> None:
    signed_in(phone, house.ana)
    phone.goto("/today/")
    yesterday = (timezone.now() - timedelta(days=1)).astimezone(house.site.zone)
    line = f"Nitrite of M1 was not tested on {yesterday:%A}: last 0.05 mg/L as N, 3 days ago."
    expect(phone.get_by_text(line)).to_be_visible()
    assert overflow_px(phone) <= 0

    phone.get_by_role("link", name="Say why").click()
    phone.get_by_text("Not done, because…").click()
    phone.get_by_text("No time").click()
    phone.get_by_role("button", name="Not done").click()

    expect(phone.get_by_role("heading", name="Today")).to_be_visible()
    expect(phone.get_by_text(line)).to_have_count(0)
    assert Completion.objects.get().why_not == "No time"


def test_a_reading_takes_its_task_off_the_list_by_itself(
    phone: Page, house: House, system: Vessel
) -> None:
    signed_in(phone, house.ana)
    phone.goto("/today/")
    phone.get_by_role("link", name="Read nitrite of M1", exact=True).click()

    phone.wait_for_url(f"**/tanks/{system.pk}/readings/")
    logged(house, system, system.site.methods.get(parameter="NITRITE"), "0.04", at=timezone.now())
    phone.goto("/today/")

    expect(phone.get_by_text("Read nitrite of M1")).to_have_count(0)
    assert Completion.objects.get().evidence


def test_a_word_is_two_taps(phone: Page, house: House) -> None:
    asked(house, at=timezone.now(), title="Rinse the nets")
    signed_in(phone, house.ana)
    phone.goto("/today/")

    phone.get_by_role("link", name="Rinse the nets").click()
    phone.get_by_role("button", name="It is done").click()

    expect(phone.get_by_text("Answered: Rinse the nets.")).to_be_visible()
    assert Completion.objects.get().by == house.ana
