"""A site has one clock; whoever opens it manages it."""

from dataclasses import replace
from uuid import uuid4

import pytest

from facility.commands.places import NameTaken, OpenSite, UnknownTimeZone, open_site
from facility.models import Entry, Membership, Site
from facility.refusals import IdTaken
from tests.cast import NOON, House


def _site(**changes: str) -> OpenSite:
    command = OpenSite(
        id=uuid4(), name="Low Mill", time_zone="Europe/Lisbon", jurisdiction="Portugal"
    )
    return replace(command, **changes)  # type: ignore[arg-type]  # each test changes its own


def test_whoever_opens_a_site_manages_it_and_the_ledger_begins(house: House) -> None:
    site = open_site(_site(), by=house.bo, at=NOON)

    assert Membership.objects.get(site=site).person == house.bo
    assert Membership.objects.get(site=site).role == "MANAGER"
    assert [line.kind for line in Entry.objects.filter(site=site)] == ["facility.open-site"]


def test_the_same_id_is_the_same_site_and_never_another(house: House) -> None:
    command = _site()
    site = open_site(command, by=house.bo, at=NOON)

    assert open_site(command, by=house.bo, at=NOON) == site
    with pytest.raises(IdTaken):
        open_site(replace(command, name="High Mill"), by=house.bo, at=NOON)
    assert Site.objects.filter(name__endswith="Mill").count() == 1


@pytest.mark.parametrize("zone", ["Atlantis/Centre", "", "../etc/passwd", "a\0b"])
def test_a_place_without_a_clock_is_refused(house: House, zone: str) -> None:
    with pytest.raises(UnknownTimeZone, match="write one such as Europe/Lisbon"):
        open_site(_site(time_zone=zone), by=house.bo, at=NOON)


def test_two_sites_never_bear_one_name(house: House) -> None:
    with pytest.raises(NameTaken):
        open_site(_site(name=house.site.name), by=house.bo, at=NOON)
