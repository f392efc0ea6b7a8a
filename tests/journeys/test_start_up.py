"""A manager begins; what the passes prove is signed for by somebody who did not read them."""

from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect

from tanks.models import Certificate, Cycle
from tests.cast import PASSWORD, House
from tests.journeys.browser import DESK, Opener, signed_in
from tests.tanks.estate import measured, vessel_of
from tests.tanks.shelf import shelved
from tests.tanks.startups import proven_twice

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize(
    ("form", "strength", "measure_out"),
    [
        # NH4Cl 53.49 g/mol, N 14.007 g/mol (CIAAW weights): 2 mg/L-N x 400 L = 0.8 g N = 3.05 g.
        pytest.param("SOLID", "1", "3.05 g", id="weighed"),
        # The same in a stock of 38.19 g/L, 10 g of N in a litre: 80.0 mL.
        pytest.param("SOLUTION", "38.19", "80 mL", id="drawn-up"),
    ],
)
def test_a_manager_starts_a_cycle_and_reads_the_dose(
    desk: Page, house: House, form: str, strength: str, measure_out: str
) -> None:
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    salt = shelved(house, form=form, strength=strength)

    signed_in(desk, house.mo).goto(f"/tanks/{vessel.pk}/")
    desk.get_by_text("More", exact=True).click()
    desk.get_by_role("link", name="Start cycling").click()
    desk.get_by_label("Feed to prove").fill("10")
    desk.get_by_label("Protein in that feed").fill("45")
    desk.get_by_label("Culture").check()
    desk.get_by_role("button", name="Start", exact=True).click()

    expect(desk.get_by_role("heading", level=1)).to_have_text("Plan: start-up of A-01")
    first_day = desk.get_by_role("region", name="First day")
    expect(first_day).to_contain_text(measure_out)
    expect(first_day).to_contain_text("2 mg/L-N")
    cycle = Cycle.objects.get()
    assert (cycle.vessel, cycle.started_by, cycle.ammonia) == (vessel, house.mo, salt)
    assert cycle.declared_feed_g_per_day == Decimal(10)
    assert cycle.protein_share == Decimal("0.45")


def test_the_reader_is_refused_and_a_second_person_signs(
    desk: Page, another: Opener, house: House
) -> None:
    known = proven_twice(house)
    signing = f"/cycles/{known.cycle.pk}/certificate/"

    signed_in(desk, house.ana).goto(signing)

    expect(desk.get_by_text("You read one of these passes.")).to_be_visible()
    expect(desk.get_by_role("button", name="Sign", exact=True)).to_have_count(0)
    assert not Certificate.objects.exists()

    second = signed_in(another(DESK), house.vera)
    second.goto(f"/cycles/{known.cycle.pk}/")
    second.get_by_role("link", name="Certify the feed").click()
    second.get_by_role("checkbox").check()
    second.get_by_label("Your password, again").fill(PASSWORD)
    second.get_by_role("button", name="Sign", exact=True).click()

    # 2 x 400 / (1000 x 0.45 x 0.092) = 19.3, after Timmons & Ebeling 2013.
    proof = second.get_by_role("region", name="Proof")
    expect(proof).to_contain_text("19.3 g/day of feed, certified and in force")
    expect(proof).to_contain_text("Signed by Vera Lund")
    certificate = Certificate.objects.get()
    assert certificate.by == house.vera
    assert certificate.feed_g_per_day == Decimal("19.3")
