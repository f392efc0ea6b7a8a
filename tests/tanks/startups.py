"""Start-ups under way as the clock on the wall has it, for the pages that read that clock."""

from datetime import timedelta

from django.test import Client
from django.utils import timezone

from facility.models import Person
from tanks.commands.cycles import start_cycle
from tests.cast import House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.proving import DAY, HOUR, Proving, start_of
from tests.tanks.shelf import shelved


def signed_in(person: Person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def under_way(house: House, *, days: float = 5, **changes: object) -> Proving:
    """A lone tank of 400 L whose start-up began ``days`` ago, by a keeper of the house."""
    vessel = vessel_of(house)
    measured(house, vessel, litres="400")
    salt = shelved(house)
    began = timezone.now() - days * DAY
    command = start_of(vessel, salt, happened_at=began, **changes)
    cycle = start_cycle(command, by=house.ana, at=began)
    return Proving(house=house, vessel=vessel, salt=salt, cycle=cycle)


def read_daily(proving: Proving) -> None:
    """Ammonia, nitrite and pH of four days: ammonia falls, nitrite stands at last."""
    began = proving.cycle.started_at
    proving.dose(at=began + HOUR, purpose="AMMONIA")
    for day, (tan, nitrite) in enumerate(
        [("2.0", "<0.1"), ("1.2", "0.6"), ("0.4", "1.4"), ("<0.1", ">1.5")], start=1
    ):
        at = began + day * DAY
        proving.read("TAN", tan, at=at)
        proving.read("NITRITE", nitrite, at=at + timedelta(minutes=1))
        proving.read("PH", "7.8", at=at + timedelta(minutes=2))


def proven_twice(house: House) -> Proving:
    """Two passes that nobody signed for yet: Ana read them, Mo judged."""
    known = under_way(house, days=6)
    first = timezone.now() - 50 * HOUR
    known.verdict(at=first)
    known.verdict(at=first + 24 * HOUR + timedelta(minutes=5))
    return known
