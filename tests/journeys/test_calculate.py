"""One hand, a phone, a water's own numbers: an answer follows the finger, and reaches paper."""

from datetime import timedelta
from decimal import Decimal
from io import BytesIO

import pypdf
import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from facility.models import Entry
from tanks.models import Dose, Vessel
from tests.cast import House
from tests.journeys.browser import signed_in
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.shelf import shelved

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

_READ = (("TAN", "0.5"), ("PH", "8.2"), ("TEMPERATURE", "25"), ("SALINITY", "0"))


@pytest.fixture
def tank(house: House) -> Vessel:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    for parameter, text in _READ:
        at = timezone.now() - timedelta(hours=1)
        logged(house, vessel, kit(house, parameter), text, at=at)
    return vessel


def test_a_keeper_calculates_with_a_water_and_sees_the_answer_follow(
    phone: Page, house: House, tank: Vessel
) -> None:
    before = Entry.objects.count()
    signed_in(phone, house.ana).goto(f"/waters/{tank.pk}/")
    phone.get_by_role("link", name="Calculate with it").tap()
    phone.wait_for_url("**/calculators/?*")
    phone.get_by_label("Look for").press_sequentially("un-ionised pH scale")
    phone.get_by_role("link", name="How much of the ammonia is un-ionised?").tap()
    phone.wait_for_url("**/unionised-ammonia/*")

    # 0.5 mg/L-N x 0.0825, Emerson et al. 1975 at 25 °C and pH 8.2 (computed).
    result = phone.locator("#result output")
    expect(result).to_have_text("0.041 mg/L as N")

    # pK 9.2444 at 25 °C; at pH 9.2444 half of it would be un-ionised: 0.25 mg/L as N.
    phone.get_by_label("pH", exact=True).fill("9.2444")
    expect(result).to_have_text("0.25 mg/L as N")
    expect(result).to_be_in_viewport()
    assert low_controls(phone) == []
    expect(phone.get_by_role("region", name="Working")).to_contain_text("9.2444")

    phone.get_by_label("pH", exact=True).fill("nine")
    expect(phone.locator("#result")).to_contain_text("cannot be read as a number")
    phone.get_by_role("button", name="Calculate").tap()
    expect(phone.get_by_role("alert")).to_contain_text("pH: “nine” cannot be read")
    expect(phone.get_by_label("pH", exact=True)).to_have_value("nine")
    expect(phone.get_by_text("Typed over. Read 8.2")).to_be_visible()

    phone.get_by_role("button", name="Fill in").tap()
    expect(result).to_have_text("0.041 mg/L as N")
    assert Entry.objects.count() == before


def test_a_calculated_dose_reaches_paper_and_the_log(
    phone: Page, house: House, tank: Vessel
) -> None:
    shelved(house, substance="SODIUM_BICARBONATE")
    signed_in(phone, house.ana).goto(f"/tanks/{tank.pk}/dose/?purpose=ALKALINITY")
    phone.get_by_role("link", name="How much sodium bicarbonate raises alkalinity").tap()
    phone.wait_for_url("**/bicarbonate-dose/*")
    phone.get_by_label("Rise", exact=False).first.fill("0,5")
    phone.get_by_label("Unit of Rise").select_option("meq/L")

    # 0.5 meq/L x 400 L = 0.2 eq of NaHCO3, 84.007 g/mol (CIAAW weights): 16.8 g.
    expect(phone.locator("#result output")).to_have_text("16.8 g")
    paper = phone.get_by_role("link", name="Dose sheet to print").get_attribute("href")
    answer = phone.request.get(str(paper))
    assert answer.headers["content-type"] == "application/pdf"
    text = pypdf.PdfReader(BytesIO(answer.body())).pages[0].extract_text()
    assert "16.8 g" in text
    assert "Checked, by a second person" in text

    phone.get_by_role("link", name="Log this dose").tap()
    phone.wait_for_url("**/dose/*")
    expect(phone.get_by_label("Target")).to_have_value("0.5")
    expect(phone.locator("#working")).to_contain_text("Measure out 16.8 g")
    expect(phone.get_by_label("What you measured out")).to_have_value("")
    phone.get_by_label("What you measured out").fill("16.8")
    phone.get_by_role("button", name="Record the dose").tap()

    phone.wait_for_url(lambda url: "/dose/" not in url)
    dose = Dose.objects.get()
    assert (dose.purpose, dose.amount, dose.by) == ("ALKALINITY", Decimal("16.800"), house.ana)


def low_controls(page: Page) -> list[str]:
    """Controls a wet thumb could miss: lower than the 48 px of the house."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll(
            "main input.big, main select, main textarea, main .button, main .chip, main .tap"
        )].filter(one => one.offsetParent && one.getBoundingClientRect().height < 47.9)
          .map(one => one.outerHTML.slice(0, 90))"""
    )
    return found
