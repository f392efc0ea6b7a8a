"""The chart of a start-up, as a picture with an address of its own."""

import pytest
from django.urls import reverse

from tests.cast import House
from tests.tanks.startups import read_daily, signed_in, under_way


def test_a_chart_is_private_and_sent_once(house: House) -> None:
    known = under_way(house)
    read_daily(known)
    url = reverse("tanks:chart", args=[known.cycle.pk])
    client = signed_in(house.hale)

    first = client.get(f"{url}?width=390&theme=dark")
    again = client.get(f"{url}?width=390&theme=dark", headers={"If-None-Match": first["ETag"]})
    other = client.get(f"{url}?width=390&theme=light")

    assert first["Content-Type"] == "image/svg+xml"
    assert first["Cache-Control"] == "private, no-cache"
    assert (again.status_code, again.content) == (304, b"")
    assert first.content.startswith(b"<svg")
    assert first["ETag"] != other["ETag"]


@pytest.mark.parametrize("query", ["?width=abc", "?width=-4", "?theme=neon", "?width=999999999"])
def test_a_chart_takes_any_wish(house: House, query: str) -> None:
    known = under_way(house)

    answer = signed_in(house.ana).get(reverse("tanks:chart", args=[known.cycle.pk]) + query)

    assert answer.status_code == 200
