"""The estate's pages. They show what was recorded; no outside source applies."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from facility.commands.places import OpenSite, open_site
from facility.models import Area, Site
from tanks.models import Policy, Vessel
from tanks.queries.estate import companies, estate
from tests.cast import NOON, House
from tests.tanks.estate import closed, device_on, measured, opened, system_of, vessel_of

EVENING = NOON + timedelta(hours=6)


def test_estate_tells_shared_waters_lone_tanks_and_what_is_shut_off(house: House) -> None:
    system = system_of(house)
    tanks = [vessel_of(house, code=f"A-{number:02}") for number in range(1, 5)]
    links = [opened(house, tank, system) for tank in tanks[:3]]
    closed(house, links[0], at=NOON + timedelta(hours=1))

    found = estate(house.site, at=EVENING)

    (shared,) = found.shared
    assert [vessel.code for vessel in shared.water.members] == ["S-1", "A-02", "A-03"]
    assert [vessel.code for vessel in shared.shut_off] == ["A-01"]
    assert [water.anchor.code for water in found.lone] == ["A-01", "A-04"]
    assert [gate.is_open for gate in shared.drawing.gates].count(False) == 1
    assert found.has_policy


def test_estate_asks_as_often_for_many_waters_as_for_few(
    house: House, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    def asked() -> None:
        estate(house.site, at=EVENING)

    _bays(house, 1)
    with django_assert_num_queries(7):
        asked()
    _bays(house, 6, start=2)
    with django_assert_num_queries(7):
        asked()


def test_past_company_is_told_with_its_times(house: House) -> None:
    tank, system = vessel_of(house), system_of(house)
    closing = NOON + timedelta(hours=2)
    closed(house, opened(house, tank, system, at=NOON + timedelta(hours=1)), at=closing)

    found = companies(tank, until=EVENING)

    assert [[vessel.code for vessel in each.others] for each in found] == [[], ["S-1"], []]
    assert [each.since for each in found] == [closing, NOON + timedelta(hours=1), NOON]
    assert [each.until for each in found] == [None, closing, NOON + timedelta(hours=1)]


def test_page_of_a_past_moment_shows_the_water_as_it_was(house: House, client: Client) -> None:
    tank, system = vessel_of(house), system_of(house)
    measured(house, tank, litres="120")
    measured(house, system, litres="300")
    closed(house, opened(house, tank, system), at=NOON + timedelta(hours=2))
    client.force_login(house.hale)
    url = reverse("tanks:water", args=[tank.pk])

    then = client.get(url, {"at": "2026-03-29T14:00"}).content.decode()
    after = client.get(url, {"at": "2026-03-29T15:00"}).content.decode()

    assert "This is how it was on" in then
    assert "2 vessels share this water" in then
    assert ">420" in then
    assert "A-01 shares its water with no other vessel" in after


def test_unreadable_moment_is_answered_with_a_sentence(house: House, client: Client) -> None:
    client.force_login(house.ana)

    answer = client.get(reverse("tanks:water", args=[vessel_of(house).pk]), {"at": "yesterday"})

    assert answer.status_code == 422
    assert "Write a date and time" in answer.content.decode()


def test_map_names_every_vessel_and_says_which_valve_is_closed(
    house: House, client: Client
) -> None:
    system = system_of(house)
    open_tank, shut_tank = vessel_of(house, code="A-01"), vessel_of(house, code="A-02")
    opened(house, open_tank, system)
    closed(house, opened(house, shut_tank, system), at=NOON + timedelta(hours=1))
    client.force_login(house.ana)

    page = client.get(reverse("tanks:estate")).content.decode()

    assert 'aria-label="A-01, no volume yet"' in page
    assert 'aria-label="A-02, no volume yet, shut off by a closed valve"' in page
    assert ">closed</text>" in page


@pytest.mark.parametrize("name", ["tanks:set-up", "tanks:water"])
def test_page_is_for_those_who_belong_here(house: House, client: Client, name: str) -> None:
    tank = vessel_of(house)
    device_on(house, tank)
    url = reverse(name, args=[tank.pk])

    assert client.get(url).status_code == 302
    client.force_login(house.bo)
    assert client.get(url).status_code == 404
    for person in (house.ana, house.hale, house.mo):
        client.force_login(person)
        assert client.get(url).status_code == 200


def test_stranger_sees_no_site(house: House, client: Client) -> None:
    client.force_login(house.bo)

    page = client.get(reverse("tanks:estate"))

    assert "You do not belong to a site yet" in page.content.decode()
    assert client.get(reverse("tanks:estate"), {"site": str(house.site.pk)}).status_code == 404


def test_manager_adds_an_area_a_tank_and_a_system(house: House, client: Client) -> None:
    client.force_login(house.mo)
    site = house.site.pk

    area = client.post(
        reverse("facility:open-area", args=[site]) + "?next=/estate/",
        {"id": str(uuid4()), "name": "Back room", "hygiene_rank": "7"},
    )
    place = str(Area.objects.get(name="Back room").pk)
    for kind, code in (("tank", "Q-01"), ("system", "S-9")):
        client.post(
            reverse("tanks:open-vessel", args=[site, kind]),
            {"id": str(uuid4()), "area": place, "code": code, "name": ""},
        )

    assert (area.status_code, area.headers["Location"]) == (303, "/estate/")
    added = Vessel.objects.order_by("code").values_list("code", "kind", "area__name")
    assert list(added) == [("Q-01", "TANK", "Back room"), ("S-9", "SYSTEM", "Back room")]


def test_manager_of_one_site_opens_another_and_manages_it(house: House, client: Client) -> None:
    client.force_login(house.mo)
    sent = {"id": str(uuid4()), "name": "Mill Row", "jurisdiction": "PT"}
    url = reverse("facility:open-site") + "?next=/estate/"

    refused = client.post(url, sent | {"time_zone": "Mars/Base"})
    answer = client.post(url, sent | {"time_zone": "Europe/Lisbon"})

    assert refused.status_code == 422
    assert "Mars/Base is not a time zone" in refused.content.decode()
    assert (answer.status_code, answer.headers["Location"]) == (303, "/estate/")
    assert Site.objects.open_to(house.mo).filter(name="Mill Row").exists()


def test_second_site_adopts_the_shipped_policy_when_its_manager_says_so(
    house: House, client: Client
) -> None:
    command = OpenSite(id=uuid4(), name="Weir Lane", time_zone="Europe/Lisbon", jurisdiction="PT")
    other = open_site(command, by=house.mo, at=NOON)
    client.force_login(house.mo)

    page = client.get(reverse("tanks:estate"), {"site": str(other.pk)}).content.decode()
    answer = client.post(reverse("tanks:adopt-defaults", args=[other.pk]), {"id": str(uuid4())})

    assert "no start-up policy" in page
    assert answer.status_code == 303
    assert Policy.objects.filter(site=other).count() == 1


def test_staff_are_not_shown_the_managers_sheets(house: House, client: Client) -> None:
    tank = vessel_of(house)
    client.force_login(house.ana)
    urls = [
        reverse("facility:open-site"),
        reverse("facility:open-area", args=[house.site.pk]),
        reverse("tanks:open-vessel", args=[house.site.pk, "tank"]),
        reverse("tanks:rename-vessel", args=[tank.pk]),
        reverse("tanks:retire-vessel", args=[tank.pk]),
        reverse("tanks:install-device", args=[tank.pk]),
        reverse("tanks:adopt-defaults", args=[house.site.pk]),
    ]

    assert [client.get(url).status_code for url in urls] == [403] * len(urls)


def test_manager_renames_relabels_and_retires_from_the_pages(house: House, client: Client) -> None:
    tank = vessel_of(house)
    client.force_login(house.mo)
    before = tank.labels.get().code

    client.post(reverse("tanks:rename-vessel", args=[tank.pk]), {"code": "W-01", "name": "Window"})
    client.post(reverse("tanks:relabel", args=[tank.pk]))
    client.post(reverse("tanks:retire-vessel", args=[tank.pk]), {"happened_at": "2026-03-29T18:00"})

    tank.refresh_from_db()
    assert (tank.code, tank.retired_at) == ("W-01", NOON + timedelta(hours=5))
    assert tank.labels.get(retired_at=None).code != before


def _bays(house: House, count: int, *, start: int = 1) -> None:
    for number in range(start, start + count):
        system = system_of(house, code=f"S-{number}")
        for place in range(2):
            opened(house, vessel_of(house, code=f"T-{number}-{place}"), system)
