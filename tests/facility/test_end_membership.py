"""A person leaves: from then on the site is closed to them, and what they signed stays."""

import pytest
from django.test import Client
from django.urls import reverse

from facility.commands.people import EndMembership, LastManager, end_membership
from facility.models import Entry, Membership, Site
from facility.refusals import NotAllowed, NotFound
from tests.cast import NOON, PASSWORD, House


def leaving(house: House, who: str = "ana") -> EndMembership:
    held = Membership.objects.get(person=getattr(house, who), site=house.site)
    return EndMembership(membership_id=held.pk)


def test_who_left_sees_the_site_no_more(house: House) -> None:
    end_membership(leaving(house), by=house.mo, at=NOON)

    assert not Site.objects.open_to(house.ana).exists()
    assert Entry.objects.filter(kind="facility.end-membership").count() == 1


def test_twice_is_once_and_keeps_the_first_moment(house: House) -> None:
    first = end_membership(leaving(house), by=house.mo, at=NOON)

    again = end_membership(leaving(house), by=house.mo, at=NOON.replace(hour=18))

    assert again.until == first.until
    assert Entry.objects.filter(kind="facility.end-membership").count() == 1


def test_the_last_manager_cannot_leave(house: House) -> None:
    with pytest.raises(LastManager):
        end_membership(leaving(house, "mo"), by=house.mo, at=NOON)


def test_staff_may_not_and_a_stranger_finds_nothing(house: House) -> None:
    with pytest.raises(NotAllowed):
        end_membership(leaving(house, "hale"), by=house.ana, at=NOON)
    with pytest.raises(NotFound):
        end_membership(leaving(house), by=house.bo, at=NOON)


def test_manager_invites_and_lets_go_by_the_pages(house: House, client: Client) -> None:
    client.force_login(house.mo)
    sheet = client.get(reverse("facility:invite-person", args=[house.site.pk]))
    told = {
        "id": str(sheet.context["form"]["id"].value()),
        "full_name": "Tove Marsh",
        "initials": "TM",
        "username": "tove",
        "role": "STAFF",
        "password": PASSWORD,
    }
    assert client.post(sheet.request["PATH_INFO"], told | {"username": "ana"}).status_code == 422
    assert client.post(sheet.request["PATH_INFO"], told).status_code == 303
    held = Membership.objects.get(person__username="tove")
    assert "Tove Marsh (TM)" in client.get(reverse("facility:people")).content.decode()

    assert client.post(reverse("facility:end-membership", args=[held.pk])).status_code == 303

    held.refresh_from_db()
    assert held.until is not None
