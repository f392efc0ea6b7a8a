"""Every page of a treatment, filled in as people do; a stopped dose keeps what was typed."""

import re
from decimal import Decimal
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from quarantine.models import (
    Agent,
    Container,
    Course,
    CourseStep,
    LevelReading,
    TreatmentOrder,
)
from tests.cast import NOON, PASSWORD, House
from tests.quarantine.treating import (
    HOUR,
    agents_in,
    given,
    level_read,
    ordered,
    tank_of,
    told_course,
    tried,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: NOON)


def hidden(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return found[1]


def test_a_manager_adopts_the_agents_and_sees_their_sources(house: House, client: Client) -> None:
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/agents/adopt/"
    page = client.get(address).content.decode()

    answer = client.post(address, {"id": hidden(page, "id")})
    told = client.get("/agents/").content.decode()

    assert answer.status_code == 303
    assert Agent.objects.filter(site=house.site).count() == 9
    assert "21 CFR 529.1030" in told
    assert "not verified" in told
    assert "Every shipped agent is in use here" in client.get(address).content.decode()


def test_figures_set_anew_hold_from_now_on(house: House, client: Client) -> None:
    agents_in(house)
    client.force_login(house.mo)
    old = Agent.objects.get(code="COPPER_FREE")
    address = f"/agents/{old.pk}/set/"
    page = client.get(address).content.decode()
    sheet = {
        "id": hidden(page, "id"),
        "low": "0.15",
        "high": "0.18",
        "clock_days": "21",
        "readings_in_row": "3",
        "out_of_window": "RESET",
        "longest_gap_h": "30",
        "clear_below": "0.01",
        "takes_order": "on",
        "source": "Agreed with the veterinarian",
    }
    later = NOON + HOUR

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(timezone, "now", lambda: later)
        answer = client.post(address, sheet)

    assert answer.status_code == 303, answer.content.decode()
    new = Agent.objects.get(code="COPPER_FREE", period__contains=later)
    assert (new.high, new.out_of_window, new.takes_second) == (Decimal("0.18"), "RESET", False)
    assert new.stops.count() == old.stops.count()
    assert not new.is_verified


def test_a_container_goes_on_the_shelf_in_its_own_form(house: House, client: Client) -> None:
    agents_in(house)
    client.force_login(house.ana)
    address = f"/sites/{house.site.pk}/agents/shelve/"
    assert "Copper, bound" in client.get(address).content.decode()
    page = client.get(f"{address}?agent=FORMALIN").content.decode()
    sheet = {
        "id": hidden(page, "id"),
        "form_held": "FORMALIN_37",
        "name": "Formalin drum 1",
        "label_strength": "50",
        "batch": "F-1",
        "expires_on": "2027-01-01",
        "coldest_c": "",
    }

    off = client.post(f"{address}?agent=FORMALIN", sheet)
    cold = client.post(f"{address}?agent=FORMALIN", sheet | {"label_strength": "37"})
    kept = client.post(
        f"{address}?agent=FORMALIN", sheet | {"label_strength": "37", "coldest_c": "11"}
    )

    assert (off.status_code, cold.status_code, kept.status_code) == (422, 422, 303)
    assert "Cold spoils Formalin" in cold.content.decode()
    # However strong the label says within 36-40 %, formalin is counted as it comes.
    assert Container.objects.get().strength == Decimal(1000)


def test_a_veterinarian_orders_and_signs_and_a_keeper_may_not(house: House, client: Client) -> None:
    agents_in(house)
    tank = tank_of(house)
    address = f"/tanks/{tank.pk}/treatment/order/?agent=COPPER_FREE"
    client.force_login(house.ana)
    assert client.get(address).status_code == 403
    client.force_login(house.vera)
    page = client.get(address).content.decode()
    assert "A licensed veterinarian decides" in page
    sheet = {
        "id": hidden(page, "id"),
        "licence": "OMV 4471",
        "condition": "Marine white spot",
        "species": "Amphiprion ocellaris",
        "count": "30",
        "low": "0.15",
        "high": "0.20",
        "duration_days": "14",
        "withdrawal_days": "0",
        "valid_until": "2026-04-20T12:00",
        "meaning": "I order it.",
        "password": "wrong",
    }

    wrong = client.post(address, sheet)
    signed = client.post(address, sheet | {"password": PASSWORD})

    assert (wrong.status_code, signed.status_code) == (422, 303)
    order = TreatmentOrder.objects.get()
    assert (order.by, order.count, order.high) == (house.vera, 30, Decimal("0.2"))


def test_a_course_is_opened_on_the_order_and_not_without_one(house: House, client: Client) -> None:
    agents_in(house)
    tank = tank_of(house)
    client.force_login(house.ana)
    address = f"/tanks/{tank.pk}/treatment/open/?agent=COPPER_FREE"
    sheet = {"why": "White spot", "target": "0.18", "happened_at": "2026-03-29T13:00"}

    without = client.post(address, sheet | {"id": str(uuid4())})
    order = ordered(house, tank)
    wide = client.post(
        address, sheet | {"id": str(uuid4()), "order": str(order.pk), "target": "0.5"}
    )
    opened = client.post(address, sheet | {"id": str(uuid4()), "order": str(order.pk)})

    assert (without.status_code, wide.status_code, opened.status_code) == (422, 422, 303)
    assert "only on the order of a licensed veterinarian" in without.content.decode()
    course = Course.objects.get()
    assert (course.order, course.low, course.water_litres) == (
        order,
        Decimal("0.15"),
        Decimal(400),
    )


def test_a_level_is_read_and_corrected_and_the_page_says_where_the_clock_is(
    house: House, client: Client
) -> None:
    told = told_course(house)
    given(told)
    client.force_login(house.ana)
    address = f"/courses/{told.course.pk}/level/"
    sheet = {"text": "0.61", "method": "Photometer", "happened_at": "2026-03-29T13:00"}

    bad = client.post(address, sheet | {"id": str(uuid4()), "text": ">0.3"})
    client.post(address, sheet | {"id": str(uuid4())})
    wrong = LevelReading.objects.get()
    corrected = client.post(
        f"{address}?corrects={wrong.pk}",
        sheet | {"id": str(uuid4()), "text": "0,16", "reason": "Misread the first digit"},
    )
    page = client.get(f"/courses/{told.course.pk}/").content.decode()

    assert "Over range" in bad.content.decode()
    assert corrected.status_code == 303
    assert LevelReading.objects.current().get().value == Decimal("0.16")
    assert "clock not begun" in page
    assert "1 of 2 readings in a row inside" in page
    assert "<svg" in page
    assert "0.16 mg/L" in page


def test_given_up_it_has_to_be_cleared_all_the_same(house: House, client: Client) -> None:
    told = told_course(house)
    given(told)
    client.force_login(house.ana)
    at = {"happened_at": "2026-03-29T13:00"}
    course = f"/courses/{told.course.pk}"

    early = client.post(f"{course}/clear/", at | {"id": str(uuid4())})
    unclear = client.post(f"{course}/cleared/", at | {"id": str(uuid4())})
    client.post(f"{course}/abandon/", at | {"id": str(uuid4()), "note": "Fish gasp"})
    page = client.get(f"{course}/").content.decode()
    level_read(told, "<0.02", at=NOON)
    cleared = client.post(f"{course}/cleared/", at | {"id": str(uuid4())})

    assert "The clock counts 0.0 of 14.0 days" in early.content.decode()
    assert "Say first that the days are reached" in unclear.content.decode()
    assert "abandoned, not cleared" in page
    assert cleared.status_code == 303
    assert set(CourseStep.objects.values_list("kind", flat=True)) == {"ABANDONED", "CLEARED"}


def test_the_pages_of_the_water_and_of_all_treatments(house: House, client: Client) -> None:
    told = told_course(house)
    client.force_login(house.hale)

    every = client.get("/treatments/").content.decode()
    water = client.get(f"/tanks/{told.vessel.pk}/treatment/").content.decode()

    assert "Q-01: Copper, free" in every
    assert "under treatment" in every
    assert "OMV 4471" in water
    assert "Open a course" not in water


def test_a_bath_runs_with_its_end_in_view_and_is_ended_on_its_own_sheet(
    house: House, client: Client
) -> None:
    told = told_course(house, "FORMALIN", target="200")
    tried(house, told.container)
    dose = given(told, rise="200", intent="BATH", minutes=45)
    client.force_login(house.ana)

    running = client.get(f"/courses/{told.course.pk}/").content.decode()
    closing = client.get("/closing/").content.decode()
    answer = client.post(
        f"/baths/{dose.pk}/end/", {"id": str(uuid4()), "happened_at": "2026-03-29T13:00"}
    )

    assert "Bath running" in running
    assert "13:45" in running
    assert "Bath of Formalin in Q-01" in closing
    assert answer.status_code == 303
    assert "Bath running" not in client.get(f"/courses/{told.course.pk}/").content.decode()
