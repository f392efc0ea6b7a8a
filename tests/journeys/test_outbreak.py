"""From a death at the tank to the alarm, the trace and the hold, on a phone and at a desk."""

from datetime import datetime, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from facility.models import Alert, Entry
from quarantine.models import Death, Hold, Kit, Lot
from tanks.commands.watching import watch
from tanks.models import Vessel
from tests.cast import House
from tests.journeys.browser import DESK, PHONE, Opener, Screen, signed_in
from tests.journeys.test_pages import faults_of
from tests.quarantine.dying import arrived
from tests.quarantine.equipment import begun, cleaned, moved, net, used
from tests.tanks.estate import measured, opened, system_of, vessel_of

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def an_estate(house: House, now: datetime) -> tuple[Vessel, Lot]:
    """Q-01 shares a net with Q-02, uncleaned; Q-04 got it clean. Q-03 got animals out of Q-02."""
    tanks = {code: vessel_of(house, code=code) for code in ("Q-01", "Q-02", "Q-03", "Q-04")}
    measured(house, tanks["Q-03"], litres="120")
    opened(house, tanks["Q-03"], system_of(house), at=now - 20 * DAY, valve="V 3")
    lot = arrived(house, tanks["Q-01"], count=60, at=now - 12 * DAY)
    other = arrived(house, tanks["Q-02"], count=40, at=now - 11 * DAY, species="Corydoras panda")
    arrived(house, tanks["Q-04"], count=20, at=now - 10 * DAY, species="Hyphessobrycon amandae")
    kit = net(house)
    used(house, kit, tanks["Q-01"], at=now - 6 * DAY)
    used(house, kit, tanks["Q-02"], at=now - 6 * DAY + HOUR, asked=True)
    cleaned(house, kit, at=now - 6 * DAY + 2 * HOUR)
    used(house, kit, tanks["Q-04"], at=now - 4 * DAY)
    moved(house, other, tanks["Q-02"], tanks["Q-03"], count=15, at=now - 3 * DAY)
    return tanks["Q-01"], lot


def test_death_alarm_trace_hold(phone: Page, another: Opener, house: House) -> None:
    now = timezone.now()
    tank, lot = an_estate(house, now)

    _a_keeper_counts_the_dead(signed_in(phone, house.ana), tank)
    assert Death.objects.get().change.from_lot == lot
    watch(house.site, at=timezone.now())
    assert Alert.objects.filter(about=f"tanks.vessel:{tank.pk}", cleared_at=None).exists()

    desk = signed_in(another(DESK), house.vera)
    desk.goto("/alerts/")
    expect(desk.get_by_role("link", name="Q-01").first).to_be_visible()
    desk.goto(f"/tanks/{tank.pk}/")
    desk.get_by_text("More", exact=True).click()
    desk.get_by_role("link", name="Trace and hold").click()

    expect(desk.get_by_role("heading", level=1)).to_contain_text("Trace from tank Q-01")
    ahead = desk.get_by_role("region", name="Where it could have gone")
    expect(ahead.get_by_role("link", name="Q-02", exact=True)).to_be_visible()
    expect(ahead.get_by_role("link", name="Q-03", exact=True)).to_be_visible()
    expect(ahead.get_by_role("link", name="Q-04", exact=True)).to_have_count(0)
    expect(ahead).to_contain_text("N-03 was used in Q-02 (Ana Quill)")
    desk.get_by_label("Why").fill("Deaths without a known cause in Q-01")
    desk.get_by_role("button", name="Hold all of it").click()

    expect(desk.get_by_text("holds are placed.")).to_be_visible()
    held = Hold.objects.filter(kind="TRACE")
    assert {hold.lot.code for hold in held if hold.lot} == {"L-0001", "L-0002"}
    assert {hold.vessel.code for hold in held if hold.vessel} >= {"Q-01", "Q-02"}
    assert not held.filter(vessel__code="Q-04").exists()
    assert Entry.objects.filter(kind="quarantine.hold-traced").count() == 1

    phone.goto(f"/tanks/{tank.pk}/")
    expect(phone.get_by_text("Reached by a trace", exact=False).first).to_be_visible()


def _a_keeper_counts_the_dead(phone: Page, tank: Vessel) -> None:
    phone.goto(f"/tanks/{tank.pk}/deaths/")
    phone.get_by_text("5", exact=True).tap()
    phone.get_by_role("button", name="Record", exact=True).tap()
    phone.wait_for_url(lambda url: f"/tanks/{tank.pk}/deaths/" not in url)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("screen", [PHONE, DESK], ids=["phone", "desk"])
def test_its_pages_are_legible_by_day_and_by_night(
    another: Opener, house: House, screen: Screen, scheme: str
) -> None:
    now = timezone.now()
    tank, lot = an_estate(house, now)
    kit = Kit.objects.get(site=house.site)
    reset = begun(house, vessel_of(house, code="Q-09"), at=now - HOUR)
    page = signed_in(another(screen, color_scheme=scheme), house.mo)
    site = f"/sites/{house.site.pk}"
    faults: list[str] = []

    for address in (
        f"/trace/?about=tanks.vessel:{tank.pk}",
        "/trace/",
        "/kits/",
        f"/kits/{kit.pk}/",
        f"/kits/{kit.pk}/use/",
        f"/kits/{kit.pk}/clean/",
        f"{site}/kits/new/",
        "/resets/",
        f"/resets/{reset.pk}/",
        f"/tanks/{tank.pk}/reset/",
        "/records/",
        f"{site}/records/register/",
        f"{site}/records/movements/",
        f"{site}/records/treatments/",
        f"{site}/records/quarantine-set/",
        f"/lots/{lot.pk}/pack/",
    ):
        answer = page.goto(address)
        assert answer is not None
        assert answer.ok, address
        faults += faults_of(page)

    assert faults == []
