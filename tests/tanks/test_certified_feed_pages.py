"""A certified feed in force, on the pages where feed is given and mishaps are told.

2 mg/L-N cleared in 400 L is 19.3 g/day at 45 % protein: Timmons & Ebeling 2013, 0.092.
"""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from tanks.models import Feeding
from tests.cast import House
from tests.tanks.proving import HOUR, Proving
from tests.tanks.startups import signed_in, under_way


@pytest.fixture
def tank(house: House) -> Proving:
    known = under_way(house, days=6)
    known.certified(at=timezone.now() - 52 * HOUR)
    return known


def page(tank: Proving, name: str, typed: dict[str, str] | None = None) -> str:
    address = reverse(f"tanks:{name}", args=[tank.vessel.pk])
    client = signed_in(tank.house.ana)
    answer: Any = client.post(address, typed, follow=True) if typed else client.get(address)
    written: bytes = answer.content
    return written.decode()


def meal(grams: str, **more: str) -> dict[str, str]:
    happened_at = timezone.now() - timedelta(minutes=1)
    local = timezone.localtime(happened_at, timezone=timezone.get_fixed_timezone(0))
    sheet = {"id": str(uuid4()), "grams": grams, "protein": "45"}
    return sheet | {"happened_at": f"{local:%Y-%m-%dT%H:%M}"} | more


def test_feed_page_says_what_is_certified(tank: Proving) -> None:
    told = page(tank, "log-feeding")

    assert "Certified feed of this water" in told
    assert "19.3" in told


def test_more_than_certified_is_warned_about_and_still_recorded(tank: Proving) -> None:
    before = page(tank, "log-feeding", meal("25", preview="1"))
    after = page(tank, "log-feeding", meal("25"))

    assert "more than the filter has proven" in before
    assert "more than the filter has proven" in after
    assert Feeding.objects.count() == 1


def test_what_was_certified_is_not_warned_about(tank: Proving) -> None:
    assert "more than the filter" not in page(tank, "log-feeding", meal("19", preview="1"))


def test_incident_page_says_which_feed_it_ends(tank: Proving) -> None:
    told = page(tank, "log-incident")

    assert "Recording this ends the certified feed of" in told
    assert "19.3" in told
