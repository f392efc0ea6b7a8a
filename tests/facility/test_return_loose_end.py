"""Putting right is said once, by whoever did it. The house's own rules."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from facility.commands import loose_ends as commands
from facility.commands.loose_ends import return_loose_end
from facility.models import Entry, LooseEndReturn
from facility.queries.proof import first_breach
from facility.refusals import NotFound
from tests.cast import NOON, House
from tests.facility.loose import HOUR, left, return_of

pytestmark = pytest.mark.django_db


def test_anybody_who_works_there_may_put_it_right(house: House) -> None:
    row = left(house)

    return_loose_end(return_of(row), by=house.mo, at=NOON + HOUR)

    assert LooseEndReturn.objects.get().by == house.mo
    assert Entry.objects.latest("pk").kind == "facility.return-loose-end"
    assert first_breach(house.site) is None


def test_a_second_person_is_told_who_was_first(house: House) -> None:
    row = left(house)
    return_loose_end(return_of(row), by=house.ana, at=NOON + HOUR)

    with pytest.raises(commands.ReturnedBefore, match="Ana Quill put this right on 29 March"):
        return_loose_end(return_of(row), by=house.mo, at=NOON + HOUR)


def test_it_is_not_put_right_before_it_was_left_nor_by_a_stranger(house: House) -> None:
    row = left(house)

    with pytest.raises(commands.ReturnedTooEarly):
        return_loose_end(return_of(row, at=NOON - timedelta(minutes=1)), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        return_loose_end(return_of(row), by=house.bo, at=NOON + HOUR)


def test_delivered_twice_is_put_right_once(house: House) -> None:
    command = return_of(left(house))
    first = return_loose_end(command, by=house.ana, at=NOON + HOUR)

    assert return_loose_end(command, by=house.ana, at=NOON + 2 * HOUR) == first
    assert Entry.objects.filter(kind="facility.return-loose-end").count() == 1


def test_the_page_says_what_it_was_and_leads_to_the_closing_list(
    house: House, client: Client
) -> None:
    row = left(house)
    client.force_login(house.ana)
    url = reverse("facility:return-loose-end", args=[row.pk])

    page = client.get(url)
    answer = client.post(
        url, {"id": "7c0a1a58-6d1b-4d8e-9c11-0f3f6f1f2a10", "happened_at": "2026-03-29T14:00"}
    )

    assert "Put right: Hose fills the rain butt" in page.content.decode()
    assert (answer.status_code, answer["Location"]) == (303, reverse("facility:closing-list"))
    assert LooseEndReturn.objects.get().loose_end == row
