"""A reading out of range, what was done, and the retest that only a good reading closes."""

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from facility.models import Completion, Task
from tanks.models import CorrectiveAction, Vessel
from tests.cast import House
from tests.facility.reporting import kept
from tests.journeys.browser import DESK, PHONE, Opener, Screen, overflow_px, signed_in
from tests.journeys.test_pages import faults_of
from tests.tanks.estate import measured, vessel_of
from tests.tanks.exceeding import acted
from tests.tanks.samples import kit, logged

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def tank(house: House) -> Vessel:
    """Fresh water with animals: nitrite at most 0.2 mg/L as NO2, which is 0.061 as N."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    kit(house, "NITRITE", kind="PHOTOMETER")
    return vessel


def test_it_stays_open_until_it_reads_inside(phone: Page, house: House, tank: Vessel) -> None:
    signed_in(phone, house.ana)
    read(phone, tank, "0.3")
    still_open = phone.get_by_role("region", name="Out of range until it reads inside")
    expect(still_open).to_contain_text("Nobody has said yet what was done.")
    assert overflow_px(phone) <= 0

    still_open.get_by_role("link", name="A-01: nitrite").tap()
    phone.get_by_text("Changed water", exact=True).tap()
    phone.get_by_label("Note").fill("A third")
    phone.get_by_role("button", name="Record what was done").tap()

    expect(phone.get_by_text("it stays open until it reads inside")).to_be_visible()
    expect(still_open).to_contain_text("Changed water: A third.")
    task = Task.objects.get(kind="RETEST")
    phone.goto(f"/tasks/{task.pk}/")
    expect(phone.get_by_text("Only a result that is good enough closes this")).to_be_visible()
    expect(phone.get_by_role("button", name="It is done")).to_be_hidden()

    read(phone, tank, "0.2")
    expect(still_open).to_contain_text("2 readings")
    assert not Completion.objects.exists()

    read(phone, tank, "0.05")
    expect(still_open).to_be_hidden()
    done = Completion.objects.get(task=task)
    assert (done.outcome, done.by) == ("DONE", house.ana)
    assert CorrectiveAction.objects.get().note == "A third"
    phone.goto("/exceedances/")
    expect(phone.get_by_text("Everything that was read last is inside its limits")).to_be_visible()


def read(phone: Page, tank: Vessel, text: str) -> None:
    """Whoever is asked about a surprise looks once more and says yes."""
    phone.goto(f"/tanks/{tank.pk}/readings/")
    phone.get_by_label("Nitrite").first.fill(text)
    phone.get_by_role("button", name="Save").tap()
    phone.wait_for_load_state()
    expect(phone.get_by_text("1 reading of A-01 saved.")).to_be_visible()


@pytest.mark.parametrize("screen", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_its_pages_are_legible(
    another: Opener, house: House, tank: Vessel, screen: Screen, scheme: str
) -> None:
    now = timezone.now()
    reading = logged(house, tank, house.site.methods.get(), "0.5", at=now)
    acted(house, reading, at=now)
    report = kept(house, at=now)
    month = kept(house, at=now, kind="MONTH", begins_on=report.begins_on.replace(day=1))
    page = signed_in(another(screen, color_scheme=scheme), house.mo)
    faults: list[str] = []
    for address in (
        "/exceedances/",
        f"/readings/{reading.pk}/act/",
        f"/tanks/{tank.pk}/",
        f"/waters/{tank.pk}/",
        "/reports/",
        f"/reports/{report.pk}/",
        f"/reports/{month.pk}/",
        f"/sites/{house.site.pk}/reports/new/",
    ):
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        faults += faults_of(page)

    assert faults == []
