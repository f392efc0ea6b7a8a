"""Every main page on a phone, by day and by night: legible, in bounds, without complaint.

Contrast, names, roles and structure as axe-core checks them (WCAG 2.2 A and AA, and its own
advice); 390 px is the narrow side of a common phone.
"""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.utils import timezone
from playwright.sync_api import Page

from facility.models import Task
from quarantine.models import Course
from tests.cast import House
from tests.facility.rounds import drawn_up, on_shift
from tests.facility.working import asked, set_for
from tests.journeys.browser import PHONE, Opener, overflow_px, signed_in
from tests.quarantine.treating import given, told_course
from tests.tanks.estate import closed, device_on, measured, opened, system_of, vessel_of
from tests.tanks.foretold import forecast_of
from tests.tanks.proving import HOUR, Proving
from tests.tanks.startups import proven_twice, read_daily

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_is_hard_to_read_or_wider_than_the_phone(
    another: Opener, house: House, scheme: str
) -> None:
    known = a_house_at_work(house)
    page = another(PHONE, color_scheme=scheme)
    page.goto("/sign-in/")
    faults = list(faults_of(page))
    signed_in(page, house.mo)

    for address in addresses(known):
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        faults += faults_of(page)

    assert faults == []


def a_house_at_work(house: House) -> Proving:
    """A system with two tanks, one shut off, and a start-up with readings and two passes."""
    system = system_of(house)
    for code in ("B-01", "B-02"):
        tank = vessel_of(house, code=code)
        measured(house, tank, litres="120")
        connection = opened(house, tank, system, valve=f"V {code}")
        if code == "B-02":
            closed(house, connection, at=connection.period.lower + HOUR)
    measured(house, system, litres="300")
    device_on(house, system)
    known = proven_twice(house)
    read_daily(known)
    forecast_of(known)
    asked(house)
    set_for(house)
    now = timezone.now()
    on_shift(house, house.mo, at=now)
    drawn_up(house, {house.mo: [asked(house, at=now)]}, at=now)
    given(told_course(house, at=now), at=now)
    return known


def addresses(known: Proving) -> tuple[str, ...]:
    tank, cycle = f"/tanks/{known.vessel.pk}", f"/cycles/{known.cycle.pk}"
    system = known.house.site.vessels.get(kind="SYSTEM")
    return (
        "/",
        "/today/",
        "/estate/",
        f"/waters/{system.pk}/",
        f"{tank}/",
        f"{tank}/readings/",
        f"{tank}/dose/?purpose=AMMONIA",
        f"/tanks/{system.pk}/cycle/?kind=MARINE",
        f"{cycle}/plan/",
        f"{cycle}/",
        f"{cycle}/forecasts/",
        f"{cycle}/forecasts/{known.cycle.forecasts.get().pk}/",
        "/calibration/",
        f"{cycle}/certificate/",
        f"{cycle}/dossier/",
        f"/waters/{known.vessel.pk}/gate/",
        f"/calculators/?vessel={known.vessel.pk}",
        f"/calculators/unionised-ammonia/?vessel={known.vessel.pk}",
        f"/calculators/bicarbonate-dose/?rise=1+meq/L&volume=400&vessel={known.vessel.pk}",
        "/outbox/",
        "/handsets/",
        "/round/",
        "/rounds/",
        "/shifts/",
        "/coverage/",
        "/exceedances/",
        "/reports/",
        f"/sites/{known.house.site.pk}/rounds/",
        f"/sites/{known.house.site.pk}/shifts/new/",
        f"/sites/{known.house.site.pk}/calendar/",
        "/ledger/",
        *ways_to_be_reached(known),
        *treatment(),
        "/labels/",
        "/tasks/",
        "/tasks/?on=2026-03-29",
        f"/tasks/{Task.objects.filter(title='Walk the front room').latest('due_at').pk}/",
        "/duties/",
        f"/sites/{known.house.site.pk}/duties/new/",
        f"/sites/{known.house.site.pk}/usual-duties/",
    )


def treatment() -> tuple[str, ...]:
    course = Course.objects.get()
    return (
        "/treatments/",
        "/agents/",
        f"/tanks/{course.vessel_id}/treatment/",
        f"/tanks/{course.vessel_id}/treatment/open/?agent=FORMALIN",
        f"/courses/{course.pk}/",
        f"/courses/{course.pk}/dose/",
    )


def ways_to_be_reached(known: Proving) -> tuple[str, ...]:
    site = f"/sites/{known.house.site.pk}"
    return (
        "/channels/",
        "/shelf/",
        "/trust/",
        "/channels/sent/",
        f"{site}/channels/new/",
        f"{site}/channels/new/?by=phone",
        f"{site}/webhooks/new/",
    )


def faults_of(page: Page) -> Iterator[str]:
    """Everything wrong with the page that is open, unfolded, with its address and place."""
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    if (wider := overflow_px(page)) > 0:
        yield f"{page.url} is {wider} px wider than the screen"
    for violation in Axe().run(page).response["violations"]:
        for node in violation["nodes"]:
            yield f"{page.url} {violation['id']}: {node['html'][:200]}"
