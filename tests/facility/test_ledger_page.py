"""The ledger, read on screen: complete, searchable, and open only to those who work here.

Retrieval, and copies in human-readable and electronic form: 21 CFR 11.10(b) and (c).
"""

import csv
from datetime import datetime, timedelta
from io import StringIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from facility.commands.places import OpenArea, open_area
from facility.models import Entry
from tests.cast import NOON, House


def opened(house: House, name: str, *, at: datetime = NOON) -> None:
    command = OpenArea(id=uuid4(), site_id=house.site.pk, name=name, hygiene_rank=2)
    open_area(command, by=house.mo, at=at)


def page(client: Client, house: House, query: str = "", *, who: str = "hale") -> Any:
    client.force_login(getattr(house, who))
    return client.get(f"/ledger/{query}")


def test_an_auditor_reads_who_did_what_to_which(client: Client, house: House) -> None:
    opened(house, "Wet lab")

    html = page(client, house).content.decode()

    assert "Mo Tarrant added an area" in html
    assert "area Wet lab" in html
    assert Entry.objects.latest("number").digest in html


def test_a_stranger_finds_an_empty_ledger_and_signed_out_one_must_sign_in(
    client: Client, house: House
) -> None:
    assert client.get("/ledger/").status_code == 302
    assert list(page(client, house, who="bo").context["page"]) == []


@pytest.mark.parametrize(
    ("query", "count"),
    [
        ("?kind=facility.open-area", 3),
        ("?kind=facility.open-area&since=2026-03-30", 2),
        ("?kind=facility.open-area&until=2026-03-29", 1),
        ("?kind=facility.open-area&since=2026-03-31&until=2026-03-31", 1),
        ("?by={ana}", 0),
        ("?by={mo}&kind=facility.open-area", 3),
        ("?about=facility.site:{site}&kind=facility.open-site", 1),
    ],
)
def test_lines_are_found_by_kind_person_subject_and_day(
    client: Client, house: House, query: str, count: int
) -> None:
    opened(house, "Wet lab", at=NOON + timedelta(days=1))
    # Half an hour before midnight UTC is the next day on a wall in Lisbon in summer.
    opened(house, "Loft", at=NOON + timedelta(days=1, hours=11, minutes=30))

    asked = query.format(ana=house.ana.pk, mo=house.mo.pk, site=house.site.pk)
    found = page(client, house, asked)

    if "by=" in query and "mo" not in query:
        # Ana never wrote a line, so she is nobody to look for.
        assert found.status_code == 422
    else:
        assert found.context["page"].paginator.count == count


def test_a_day_that_is_none_is_answered_with_a_sentence(client: Client, house: House) -> None:
    found = page(client, house, "?since=yesterday")

    assert found.status_code == 422
    assert "valid date" in found.content.decode()


def test_long_ledgers_come_in_pages_that_keep_the_search(client: Client, house: House) -> None:
    for number in range(60):
        opened(house, f"Room {number}")

    first = page(client, house, "?kind=facility.open-area")
    second = page(client, house, first.context["earlier"])

    assert len(first.context["lines"]) == 50
    assert len(second.context["lines"]) == 11
    assert {line.entry.kind for line in second.context["lines"]} == {"facility.open-area"}


def test_the_number_of_queries_does_not_grow_with_the_lines(
    client: Client, house: House, django_assert_max_num_queries: Any
) -> None:
    for number in range(49):
        opened(house, f"Room {number}")
    client.force_login(house.hale)

    with django_assert_max_num_queries(14):
        client.get("/ledger/")


def test_the_same_lines_come_as_a_file_with_every_digest(client: Client, house: House) -> None:
    answer = page(client, house, "?as=csv")

    rows = list(csv.DictReader(StringIO(answer.content.decode())))
    kept = Entry.objects.filter(site=house.site).order_by("-number")
    assert answer["Content-Type"].startswith("text/csv")
    assert {row["Digest"] for row in rows} == {entry.digest for entry in kept}
    assert {row["Previous digest"] for row in rows} == {entry.previous for entry in kept}
