"""What a stand-in must leave alone in the tanks. Common practice, no source."""

import pytest

from facility.sockets.stop_list import Stop, stops_at
from tests.cast import House
from tests.quarantine.ready import AT, ready
from tests.tanks.estate import opened, system_of, vessel_of
from tests.tanks.proving import HOUR, proving
from tests.tanks.walking import lent

pytestmark = pytest.mark.django_db


def stops(house: House) -> list[Stop]:
    return [stop for stop in stops_at(house.site.pk, AT) if stop.place]


def test_a_water_in_start_up_is_left_alone(house: House) -> None:
    told = proving(house)

    (stop,) = stops(house)

    assert stop.place == told.vessel.code
    assert stop.leave.startswith("Rinse no filter there")
    assert stop.url == f"/cycles/{told.cycle.pk}/"


def test_what_is_certified_is_fed_no_more_and_not_left_unfed(house: House) -> None:
    told = ready(house)
    certificate = told.cycle.certificates.get()

    (stop,) = stops(house)

    assert stop.leave.startswith(f"Feed no more than {certificate.feed_g_per_day.normalize():f} g")
    assert "do not let a day go by unfed" in stop.leave


def test_a_valve_on_loan_stays_as_it_is_and_names_whom_to_ask(house: House) -> None:
    connection = opened(house, vessel_of(house), system_of(house), at=AT - 3 * HOUR)
    lent(house, connection, at=AT - 2 * HOUR)

    (stop,) = stops(house)

    assert (stop.leave, stop.ask) == (
        "Leave as it is: Valve between A-01 and S-1 is closed",
        "Ana Quill",
    )
    assert "TAN cannot be reckoned" in stop.why


def test_the_house_rules_come_first(house: House) -> None:
    proving(house)

    places = [bool(stop.place) for stop in stops_at(house.site.pk, AT)]

    assert places == sorted(places)
    assert places.count(False) >= 5
