"""The pages of stays on a phone, by day and by night: legible, in bounds, without complaint."""

import pytest
from django.utils import timezone

from tests.cast import House
from tests.journeys.browser import PHONE, Opener, signed_in
from tests.journeys.test_pages import faults_of
from tests.quarantine.dying import arrived
from tests.quarantine.staying import DAY, HOUR, held, planned, ready_to_leave, tank_behind
from tests.tanks.startups import under_way

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_of_stays_is_hard_to_read_or_wider_than_the_phone(
    another: Opener, house: House, scheme: str
) -> None:
    now = timezone.now()
    known = under_way(house, days=6)
    known.certified(at=now - 51 * HOUR)
    tank = tank_behind(house, "Q-1")
    lot = ready_to_leave(house, tank, at=now - HOUR)
    arrived(house, tank_behind(house, "Q-2"), at=now - 3 * DAY)
    planned(house, lot, known.vessel, at=now)
    hold = held(house, lot=lot, at=now - DAY)
    asked = f"?destination={known.vessel.pk}&count=12&feed_g_per_day=3"
    site = f"/sites/{house.site.pk}/stays"
    page = another(PHONE, color_scheme=scheme)
    signed_in(page, house.mo)
    faults: list[str] = []

    for address in (
        "/stays/",
        "/stays/rules/",
        f"{site}/policy/",
        f"/waters/{tank.pk}/animals/",
        f"/waters/{known.vessel.pk}/stocking-plan/",
        f"/tanks/{tank.pk}/move/",
        f"/lots/{lot.pk}/release/{tank.pk}/",
        f"/lots/{lot.pk}/release/{tank.pk}/{asked}",
        f"/lots/{lot.pk}/hold/",
        "/holds/",
        f"/holds/{hold.pk}/",
        f"/tanks/{tank.pk}/",
        "/today/",
    ):
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        faults += faults_of(page)

    assert faults == []
