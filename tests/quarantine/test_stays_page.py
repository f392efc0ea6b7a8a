"""The pages of who waits until when, and the piece that tells what a late comer does."""

from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from tests.cast import House
from tests.quarantine.dying import arrived
from tests.quarantine.staying import DAY, held, tank_behind, waited
from tests.tanks.estate import opened


def test_the_page_asks_no_more_of_the_base_for_more_waters(
    house: House, client: Client, django_assert_max_num_queries: object
) -> None:
    now = timezone.now()
    for number in range(7):
        waited(house, tank_behind(house, f"Q-{number}"), days=number + 1, before=now)
    client.force_login(house.ana)

    with django_assert_max_num_queries(40):  # type: ignore[operator]  # pytest-django's own
        page = client.get("/stays/").content.decode()

    assert page.count("waits</span>") == 7
    assert page.index("Q-6") < page.index("Q-0"), "who may leave soonest stands first"


def test_a_water_s_page_says_until_when_and_what_entered(house: House, client: Client) -> None:
    now = timezone.now()
    tank, system = tank_behind(house, "Q-1"), tank_behind(house, "QS", kind="SYSTEM")
    opened(house, tank, system, at=now - 20 * DAY)
    lot = arrived(house, tank, at=now - 9 * DAY)
    late = arrived(house, system, at=now - 2 * DAY)
    held(house, lot=late, at=now - DAY)
    client.force_login(house.hale)

    page = client.get(f"/waters/{tank.pk}/animals/").content.decode()

    assert f"{late.code} entered QS" in page
    assert f"{lot.code} in Q-1" in page
    assert "White spots" in page
    assert "no temperature was logged since the last entry" in page
    assert "quarantine:move-animals" not in page
    assert "/move/" not in page


@pytest.mark.parametrize("name", ["vessel", "to_vessel"])
def test_the_piece_tells_of_a_late_comer(house: House, client: Client, name: str) -> None:
    now = timezone.now()
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=now - 9 * DAY)
    spare = tank_behind(house, "Q-9")
    held(house, vessel=tank, at=now - DAY)
    client.force_login(house.ana)

    told = client.get(
        "/stays/late-comer/", {name: str(tank.pk), "species": str(lot.species_id)}
    ).content.decode()

    assert f"{lot.code} in Q-1" in told
    assert spare.code in told
    assert "This moves the release of 1 lot" in told
    assert "Join nothing to this water" in told


def test_the_piece_says_nothing_of_what_is_not_there_or_not_theirs(
    house: House, client: Client
) -> None:
    tank = tank_behind(house, "Q-1")
    lot = arrived(house, tank, at=timezone.now() - DAY)
    for person, asked in (
        (house.ana, {}),
        (house.ana, {"vessel": "no id"}),
        (house.ana, {"vessel": str(uuid4())}),
        (house.bo, {"vessel": str(tank.pk)}),
    ):
        client.force_login(person)
        told = client.get("/stays/late-comer/", asked).content.decode()
        assert lot.code not in told
        assert "is shown here before it is saved" in told
