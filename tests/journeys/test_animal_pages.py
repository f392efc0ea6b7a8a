"""The pages of animals on a phone, by day and by night: legible and in bounds."""

from decimal import Decimal

import pytest
from django.utils import timezone
from playwright.sync_api import Page

from quarantine.commands.consignments import AddPaper, add_paper
from quarantine.commands.species import set_species_sheet
from quarantine.models import Box
from tests.cast import House
from tests.journeys.browser import signed_in
from tests.journeys.test_arrival import posted
from tests.journeys.test_pages import faults_of
from tests.quarantine.arriving import (
    BARB,
    consignment_of,
    protocol_of,
    sheet_of,
    species_of,
)
from tests.tanks.estate import vessel_of

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_no_page_of_animals_is_hard_to_read_or_wider_than_the_phone(
    phone: Page, house: House
) -> None:
    box = an_arrival(house)
    assert box.lot is not None
    signed_in(phone, house.mo)
    faults: list[str] = []

    for address in addresses(house, box):
        answer = phone.goto(address)
        assert answer is not None
        assert answer.ok, address
        phone.emulate_media(color_scheme="light")
        faults += faults_of(phone)
        phone.emulate_media(color_scheme="dark")
        faults += faults_of(phone)

    assert faults == []


def an_arrival(house: House) -> Box:
    """Three boxes of two species, a paper, a sheet, a protocol."""
    vessel_of(house, code="Q-03")
    protocol_of(house)
    species_of(house, BARB)
    sheet = sheet_of(species_of(house), temperature_low_c=Decimal(22), shortest_stay_days=30)
    set_species_sheet(sheet, by=house.mo, at=timezone.now())
    consignment = consignment_of(house)
    paper = AddPaper(consignment_id=consignment.pk, kind="HEALTH", number="HC-9")
    add_paper(paper, by=house.mo, at=timezone.now())
    for number in (4, 5, 6):
        posted(house, consignment, number)
    return Box.objects.earliest("happened_at", "number")


def addresses(house: House, box: Box) -> tuple[str, ...]:
    lot, site = f"/lots/{box.lot_id}", f"/sites/{house.site.pk}"
    consignment = f"/consignments/{box.consignment_id}"
    return (
        "/animals/",
        "/animals/lists/",
        "/consignments/",
        f"{consignment}/",
        f"{consignment}/boxes/?tank=Q-03&species={box.species_id}",
        f"{consignment}/papers/",
        f"{consignment}/labels/",
        f"/boxes/{box.pk}/correct/",
        f"{lot}/",
        f"{lot}/sell/",
        f"{lot}/merge/",
        f"{lot}/count/",
        f"/species/{box.species_id}/",
        f"/species/{box.species_id}/sheet/",
        f"{site}/species/",
        f"{site}/lots/new/",
        f"/tanks/{box.vessel_id}/",
    )
