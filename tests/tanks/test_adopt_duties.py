"""The duties a house of tanks usually has, adopted in one act and again when tanks came since."""

from collections import Counter
from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from facility.commands.duties import EndDuty, end_duty
from facility.models import Duty, Entry
from facility.queries.proof import first_breach
from tanks.commands.duties import AdoptDuties, adopt_duties
from tanks.rules.default_duties import DEFAULTS, NO_SOURCE, ROTATION_WEEKS, begins_on
from tests.cast import NOON, House
from tests.facility.working import raised
from tests.tanks.estate import device_on, opened, system_of, vessel_of
from tests.tanks.proving import proving

pytestmark = pytest.mark.django_db


def adopted(house: House) -> list[Duty]:
    command = AdoptDuties(id=uuid4(), site_id=house.site.pk)
    return adopt_duties(command, by=house.mo, at=NOON)


def test_a_system_is_tested_weekly_and_its_tanks_not_one_by_one(house: House) -> None:
    system, tank = system_of(house), vessel_of(house)
    opened(house, tank, system)

    duties = adopted(house)

    tests = [duty for duty in duties if duty.kind == "TEST"]
    assert {duty.about for duty in tests} == {f"tanks.vessel:{system.pk}"}
    weekly = next(duty for duty in tests if "WEEKLY" in duty.rule)
    assert weekly.asks["parameters"] == ["TAN", "NITRITE", "PH"]
    assert first_breach(house.site) is None


def test_tanks_with_their_own_filters_take_turns_a_tenth_each_week(house: House) -> None:
    for number in range(20):
        vessel_of(house, code=f"L-{number:02}")

    rotation = [duty for duty in adopted(house) if "INTERVAL=10" in duty.rule]
    raised(house, until=NOON + timedelta(weeks=ROTATION_WEEKS))

    first_days = Counter(duty.begins_on for duty in rotation)
    assert set(first_days.values()) == {2}
    assert len(first_days) == ROTATION_WEEKS
    assert all(duty.tasks.count() == 1 for duty in rotation)


def test_a_start_up_is_tested_daily_and_a_proven_one_kept_fed(house: House) -> None:
    told = proving(house)

    (daily,) = [
        duty
        for duty in adopted(house)
        if duty.about == f"tanks.vessel:{told.vessel.pk}" and duty.rule == "FREQ=DAILY"
    ]

    assert daily.kind == "TEST"
    told.certified(at=NOON + timedelta(hours=1))
    later = NOON + timedelta(hours=60)
    command = AdoptDuties(id=uuid4(), site_id=house.site.pk)
    (fed,) = adopt_duties(command, by=house.mo, at=later)
    assert (fed.kind, fed.asks["deeds"]) == ("KEEP_FED", ["tanks.log-dose", "tanks.log-feeding"])


def test_adopted_again_only_what_came_since_is_set_and_what_was_ended_stays_so(
    house: House,
) -> None:
    vessel_of(house)
    first = adopted(house)
    end_duty(EndDuty(duty_id=first[0].pk), by=house.mo, at=NOON)

    assert adopted(house) == []
    tank = vessel_of(house, code="A-02")
    device_on(house, tank, kind="MECHANICAL", name="Drum filter")
    since = adopted(house)

    assert sorted(duty.title for duty in since) == [
        "Clean Drum filter of A-02",
        "Read TAN, nitrite and pH of A-02",
    ]
    assert Entry.objects.filter(kind="tanks.adopt-duties").count() == 2


def test_every_default_says_that_it_has_no_source() -> None:
    assert all(NO_SOURCE in one.why for one in DEFAULTS)
    assert len({one.key for one in DEFAULTS}) == len(DEFAULTS)


def test_only_a_rotation_is_spread_over_the_weeks() -> None:
    days = {one.key: begins_on(one, 11, today=NOON.date()) for one in DEFAULTS}

    spread = {key for key, day in days.items() if day != NOON.date()}
    assert spread == {"rotation"}
    assert days["rotation"] == NOON.date() + timedelta(weeks=1)


def test_the_page_lists_them_before_they_are_set(
    house: House, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    vessel_of(house)
    monkeypatch.setattr(timezone, "now", lambda: NOON)
    client.force_login(house.mo)
    address = f"/sites/{house.site.pk}/usual-duties/"

    page = client.get(address).content.decode()
    answer = client.post(address, {"id": str(uuid4())})
    after = client.get("/duties/").content.decode()

    assert "Opening walk: Front room" in page
    assert "every day at 08:00" in page
    assert answer.status_code == 303
    assert "Opening walk: Front room" in after
    assert "Every usual duty is set" in client.get(address).content.decode()
