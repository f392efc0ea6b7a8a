"""Cautions stand where the act happens, each with where it is from."""

import pytest
from django.test import Client
from django.urls import reverse

from quarantine.rules.hazards import CARDS, cards_at
from tests.cast import House
from tests.quarantine.arriving import consignment_of
from tests.quarantine.dying import arrived, died
from tests.tanks.estate import vessel_of

SEEN = {
    "quarantine.log-death": ("What fish can give you", "Notifiable disease", "Killing an animal"),
    "quarantine.log-necropsy": ("What fish can give you",),
    "quarantine.log-finding": ("Notifiable disease", "A negative test"),
    "quarantine.receive-box": ("Look at the animals too",),
}


def _addresses(house: House) -> dict[str, str]:
    tank = vessel_of(house)
    lot = arrived(house, tank)
    return {
        "quarantine.log-death": reverse("quarantine:log-death", args=[tank.pk]),
        "quarantine.log-finding": reverse("quarantine:log-finding", args=[tank.pk]),
        "quarantine.log-necropsy": reverse(
            "quarantine:log-necropsy", args=[died(house, lot, tank).pk]
        ),
        "quarantine.receive-box": reverse(
            "quarantine:receive-box", args=[consignment_of(house).pk]
        ),
    }


@pytest.mark.parametrize("act", SEEN)
def test_a_sheet_shows_the_cards_of_its_act(house: House, client: Client, act: str) -> None:
    client.force_login(house.ana)

    page = client.get(_addresses(house)[act]).content.decode()

    assert all(f"<strong>{title}.</strong>" in page for title in SEEN[act])
    assert tuple(card.title for card in cards_at(act)) == SEEN[act]
    assert "Local codes and a licensed veterinarian come before anything here." in page


def test_every_card_says_where_it_is_from() -> None:
    assert all(card.origin.source for card in CARDS)
