"""Each sheet that may wait on the device becomes the command that its page would give."""

from collections.abc import Iterator
from decimal import Decimal

import pytest
from django.core.cache import caches
from django.utils import timezone
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from facility.models import Completion, LooseEnd, Sent
from tanks.models import (
    Dose,
    Incident,
    Method,
    Reading,
    Seeding,
    Vessel,
    WalkSign,
    WaterChange,
)
from tests.cast import House
from tests.facility.working import asked
from tests.journeys.phones import carried_by, settled
from tests.tanks.estate import measured, vessel_of
from tests.tanks.shelf import shelved

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    return vessel


@pytest.fixture
def page(browser: Browser, live_server: LiveServer, house: House) -> Iterator[Page]:
    caches["default"].clear()
    with carried_by(browser, live_server.url, house.ana) as phone:
        yield phone.new_page()


def waits(page: Page, address: str) -> None:
    """Open the sheet, then lose the signal."""
    page.context.set_offline(False)
    page.goto(address)
    page.context.set_offline(True)


def sent_on(page: Page, button: str, *, count: int = 1) -> None:
    page.get_by_role("button", name=button).tap()
    expect(page.get_by_text("It is sent when there is signal.")).to_be_visible()
    page.context.set_offline(False)
    assert settled(page, *["sent"] * count), page.evaluate("penstock.outbox.list()")


def test_a_walk_with_a_value_for_all_and_a_new_method(
    page: Page, house: House, tank: Vessel
) -> None:
    other = vessel_of(house, code="A-02")
    waits(page, f"/areas/{house.area.pk}/walk/")
    thermometer = page.locator('[name="measure"] option[value^="TEMPERATURE|"]').first
    page.get_by_label("Read on the way").select_option(thermometer.get_attribute("value"))
    page.get_by_label("The same for all").fill("25.5")
    page.get_by_label("How A-02 was").or_(page.get_by_label("A-02 was")).first.select_option(
        "OTHER"
    )
    page.locator(f'[name="note-{other.pk}"]').fill("Pump hums.")

    sent_on(page, "Save the walk", count=4)

    read = {(row.vessel.code, row.as_entered) for row in Reading.objects.select_related("vessel")}
    assert read == {("A-01", "25.5"), ("A-02", "25.5")}
    assert Method.objects.get().parameter == "TEMPERATURE"
    assert [(sign.vessel, sign.note) for sign in WalkSign.objects.all()] == [(other, "Pump hums.")]


def test_a_water_change_in_litres_and_none_in_per_cent(page: Page, tank: Vessel) -> None:
    waits(page, f"/tanks/{tank.pk}/water-change/")
    page.get_by_label("How much was changed").fill("12,5")
    page.get_by_text("% of this water").tap()
    page.get_by_role("button", name="Record the change").tap()
    expect(page.get_by_text("give the litres")).to_be_visible()
    expect(page.get_by_label("How much was changed")).to_have_value("12,5")
    page.get_by_text("litres", exact=True).first.tap()

    sent_on(page, "Record the change")

    assert [str(row.litres) for row in WaterChange.objects.all()] == ["12.50"]


def test_an_incident(page: Page, tank: Vessel) -> None:
    waits(page, f"/tanks/{tank.pk}/incident/")
    page.get_by_label("Other").check()
    page.get_by_label("In a few words").fill("Lid left off.")

    sent_on(page, "Record the incident")

    row = Incident.objects.get()
    assert (row.kind, row.lasted_h, row.note) == ("OTHER", None, "Lid left off.")
    assert abs((timezone.now() - row.happened_at).total_seconds()) < 180


def test_a_task_done_and_another_not_done(page: Page, house: House) -> None:
    first, second = (asked(house, at=timezone.now()) for _ in range(2))
    waits(page, f"/tasks/{first.pk}/")
    sent_on(page, "It is done")
    waits(page, f"/tasks/{second.pk}/")
    page.get_by_text("Not done, because").tap()
    page.get_by_label("In your own words").fill("The pump is out.")

    sent_on(page, "Not done", count=2)

    answers = {row.task: (row.outcome, row.why_not) for row in Completion.objects.all()}
    assert answers == {first: ("DONE", ""), second: ("NOT_DONE", "The pump is out.")}


def test_a_loose_end_by_the_wall_clock_of_the_site(page: Page, house: House) -> None:
    waits(page, f"/sites/{house.site.pk}/loose-ends/new/")
    page.locator('[name="kind"]').first.check()
    page.get_by_label("What", exact=True).fill("Fill hose in the sump")
    page.get_by_label("Why", exact=True).fill("Topping up")
    page.get_by_label("To be put right by").fill("2030-07-01T08:30")

    sent_on(page, "Put it on the list")

    row = LooseEnd.objects.get()
    assert (row.owner, row.what) == (house.ana, "Fill hose in the sump")
    # Lisbon keeps summer time in July: one hour ahead of UTC.
    assert row.due_back_at.isoformat() == "2030-07-01T07:30:00+00:00"
    assert Sent.objects.get().by == house.ana


def test_a_sheet_that_cannot_wait_stays_as_it_is(page: Page, house: House) -> None:
    waits(page, f"/sites/{house.site.pk}/methods/tan/new/")
    page.get_by_label("Name").fill("Bench photometer")
    page.get_by_role("button", name="Add", exact=True).tap()

    expect(page.get_by_text("this sheet cannot wait on the device")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value("Bench photometer")


def test_a_water_change_with_what_its_source_carries(page: Page, tank: Vessel) -> None:
    """14.007 of 62.005 g are nitrogen, 1 dKH is 0.357 meq/L: IUPAC weights, DIN 38409-7."""
    waits(page, f"/tanks/{tank.pk}/water-change/")
    page.get_by_label("How much was changed").fill("50")
    page.get_by_text("What the source water carries").tap()
    page.get_by_label("Its nitrate").fill("20")
    page.get_by_text("as NO₃ (ion)").tap()
    page.get_by_label("Its alkalinity").fill("10")
    page.get_by_text("dKH", exact=True).tap()

    sent_on(page, "Record the change")

    row = WaterChange.objects.get()
    assert float(row.source_nitrate_mg_l_n or 0) == pytest.approx(20 * 14.007 / 62.005, abs=0.002)
    assert float(row.source_alkalinity_meq_l or 0) == pytest.approx(3.57, abs=0.005)


def test_a_seeding_from_the_shelf(page: Page, house: House, tank: Vessel) -> None:
    culture = shelved(house, substance="CULTURE", form="SOLUTION")
    waits(page, f"/tanks/{tank.pk}/seeding/")
    expect(page.get_by_text("is judged when it arrives")).to_be_visible()
    page.get_by_text("Culture", exact=True).tap()
    page.get_by_label("Culture from the shelf").select_option(str(culture.pk))
    page.get_by_label("How much").fill("500 mL")

    sent_on(page, "Record the seeding")

    row = Seeding.objects.get()
    assert (row.product, row.quantity) == (culture, "500 mL")


def test_a_dose_that_went_in_without_signal_is_asked_back_when_it_arrives(
    page: Page, house: House, tank: Vessel
) -> None:
    shelved(house, substance="SODIUM_BICARBONATE")
    waits(page, f"/tanks/{tank.pk}/dose/?purpose=ALKALINITY")
    expect(page.get_by_text("Record only what has gone in already")).to_be_visible()
    page.get_by_label("Target").fill("1")
    page.get_by_label("What you measured out").fill("340")
    page.get_by_role("button", name="Compute").tap()
    expect(page.get_by_text("Without signal nothing is computed.")).to_be_visible()
    page.get_by_role("button", name="Record the dose").tap()
    expect(page.get_by_text("It is sent when there is signal.")).to_be_visible()
    page.context.set_offline(False)
    assert settled(page, "refused"), page.evaluate("penstock.outbox.list()")

    page.goto("/outbox/")
    expect(page.get_by_text("times as much. Is that what went in?")).to_be_visible()
    page.get_by_role("link", name="Mend it on its sheet").tap()
    expect(page.get_by_label("What you measured out")).to_have_value("340")
    expect(page.get_by_label("Target")).to_have_value("1")
    page.get_by_label("What you measured out").fill("34")
    page.get_by_role("button", name="Record the dose").tap()
    assert settled(page, "sent"), page.evaluate("penstock.outbox.list()")

    # 400 L x 1 meq/L x 84.007 g/mol = 33.6 g of sodium bicarbonate.
    dose = Dose.objects.get()
    assert (dose.amount, round(dose.computed_amount, 1)) == (Decimal(34), Decimal("33.6"))
