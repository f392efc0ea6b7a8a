"""The sheet that begins a start-up."""

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from tanks.models import Cycle, Vessel
from tests.cast import House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.shelf import shelved
from tests.tanks.startups import signed_in


@pytest.fixture
def vessel(house: House) -> Vessel:
    found = vessel_of(house)
    measured(house, found, litres="400")
    return found


def url_of(vessel: Vessel, query: str = "") -> str:
    return reverse("tanks:start-cycle", args=[vessel.pk]) + query


def filled(house: House, **changes: Any) -> dict[str, Any]:
    told = {
        "id": str(uuid4()),
        "water_kind": "FRESH",
        "declared_feed_g_per_day": "15",
        "protein_share": "45",
        "seed": "CULTURE",
        "seed_origin": "",
        "ammonia_id": str(shelved(house).pk),
        "cycling_temperature_c": "28",
        "cycling_salinity_g_kg": "0,3",
        "stocking_temperature_c": "25",
        "stocking_salinity_g_kg": "0.3",
        "has_substrate": "on",
        "happened_at": "2026-04-02T09:00",
    }
    return told | changes


def manager(house: House) -> Client:
    return signed_in(house.mo)


def test_a_start_up_begins_and_its_plan_follows(house: House, vessel: Vessel) -> None:
    answer = manager(house).post(url_of(vessel), filled(house))

    cycle = Cycle.objects.get()
    assert answer.status_code == 303
    assert answer["Location"] == reverse("tanks:plan", args=[cycle.pk])
    assert str(cycle.protein_share) == "0.450"
    assert str(cycle.cycling_salinity_g_kg) == "0.3"


def test_sent_twice_is_begun_once(house: House, vessel: Vessel) -> None:
    sent = filled(house)

    answers = [manager(house).post(url_of(vessel), sent) for _ in range(2)]

    assert [answer.status_code for answer in answers] == [303, 303]
    assert Cycle.objects.count() == 1


def test_a_refusal_keeps_what_was_typed_and_says_it_at_the_field(
    house: House, vessel: Vessel
) -> None:
    sent = filled(house, seed="MATURE_MEDIA", cycling_temperature_c="29.5")

    answer = manager(house).post(url_of(vessel), sent)

    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "Say where the mature media came from" in shown
    assert 'value="29.5"' in shown
    assert not Cycle.objects.exists()


def test_the_load_of_a_feed_is_worked_out_without_judging_the_rest(
    house: House, vessel: Vessel
) -> None:
    """19.32 g at 45 % in 400 L: 2 mg/L-N a day, by feed × protein × 0.092."""
    sent = filled(house, declared_feed_g_per_day="19.32", seed="", work_out="1")

    answer = manager(house).post(url_of(vessel), sent)

    shown = answer.content.decode()
    assert answer.status_code == 200
    assert "= 2.00 mg/L-N a day" in shown
    assert "error-summary" not in shown
    assert 'value="19.32"' in shown
    assert not Cycle.objects.exists()


@pytest.mark.parametrize("feed", ["", "much", "0"])
def test_no_readable_feed_has_no_load(house: House, vessel: Vessel, feed: str) -> None:
    sent = filled(house, declared_feed_g_per_day=feed, work_out="1")

    answer = manager(house).post(url_of(vessel), sent)

    assert answer.status_code == 200
    assert "mg/L-N a day" not in answer.content.decode()


def test_the_kind_of_water_brings_its_usual_values(house: House, vessel: Vessel) -> None:
    """18 to 20 g/kg while cycling and 35 when stocked: common practice, no source."""
    shown = manager(house).get(url_of(vessel, "?kind=MARINE")).content.decode()

    assert 'name="cycling_salinity_g_kg" value="19"' in shown
    assert 'name="stocking_salinity_g_kg" value="35"' in shown
    assert 'name="water_kind" value="MARINE"' in shown


def test_an_unmeasured_water_is_led_to_its_measure(house: House) -> None:
    unmeasured = vessel_of(house, code="A-09")

    shown = manager(house).get(url_of(unmeasured)).content.decode()

    assert reverse("tanks:measure-volume", args=[unmeasured.pk]) in shown


def test_who_may_not_begin_one_is_shown_no_sheet(house: House, vessel: Vessel) -> None:
    assert signed_in(house.hale).get(url_of(vessel)).status_code == 403
    assert signed_in(house.hale).post(url_of(vessel), filled(house)).status_code == 403
    assert signed_in(house.bo).get(url_of(vessel)).status_code == 404
    assert Client().get(url_of(vessel))["Location"].startswith("/sign-in/")
