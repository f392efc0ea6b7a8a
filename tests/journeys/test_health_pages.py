"""Looks, deaths, losses, survey on a phone, by day and by night: legible and in bounds."""

from datetime import timedelta

import pytest
from django.utils import timezone

from quarantine.models import Death
from tanks.commands.watching import watch
from tests.cast import House
from tests.journeys.browser import PHONE, Opener, signed_in
from tests.journeys.test_pages import faults_of
from tests.quarantine.dying import arrived, died, gone, looked
from tests.tanks.estate import vessel_of

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]
DAY = timedelta(days=1)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_health_can_be_read_on_a_phone(another: Opener, house: House, scheme: str) -> None:
    addresses = _addresses(_house_with_deaths(house))
    page = another(PHONE, color_scheme=scheme)
    page.goto("/sign-in/")
    signed_in(page, house.mo)
    faults: list[str] = []

    for address in addresses:
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        faults += faults_of(page)

    assert faults == []


def _house_with_deaths(house: House) -> Death:
    """Two suppliers, deaths old and new, animals sold, a lot that refuses feed, an alert."""
    now = timezone.now()
    tank = vessel_of(house, code="Q-01")
    first, second = (
        arrived(house, tank, count=60, at=came, supplier=supplier, dead_on_arrival=2)
        for came, supplier in (
            (now - 56 * DAY, "Marsh Gate Imports"),
            (now - 35 * DAY, "Harbour Tropicals"),
        )
    )
    for lot in (first, second):
        died(house, lot, tank, at=lot.acquired_at + 3 * DAY, count=4)
        gone(house, lot, tank, "SOLD", count=9, at=lot.acquired_at + 20 * DAY)
    for hours in (3, 1):
        looked(house, tank, at=now - timedelta(hours=hours), feeding="REFUSED", signs=("SPOTS",))
    death = died(house, second, tank, at=now - timedelta(minutes=20), count=6, signs=("SPOTS",))
    watch(house.site, at=now)
    return death


def _addresses(death: Death) -> tuple[str, ...]:
    vessel = death.change.from_vessel
    assert vessel is not None
    tank, site, about = f"/tanks/{vessel.pk}", f"/sites/{vessel.site_id}", f"/deaths/{death.pk}"
    asked = "population=40&prevalence=10&confidence=95&sensitivity=80"
    return (
        f"{tank}/",
        f"{tank}/look/",
        f"{tank}/deaths/",
        f"{tank}/looks/",
        f"{tank}/test/",
        f"/areas/{vessel.area_id}/all-well/",
        "/looks/",
        f"{about}/",
        f"{about}/necropsy/",
        f"{site}/losses/?of=supplier:Harbour+Tropicals",
        f"{site}/health-rules/",
        f"/survey/?{asked}&specificity=98&herd_specificity=95&chosen=10",
    )
