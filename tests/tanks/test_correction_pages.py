"""Correcting, withdrawing and describing a kit, as people do it on the pages."""

from decimal import Decimal
from uuid import uuid4

from django.urls import reverse
from django.utils import timezone

from tanks.models import Method, Reading
from tests.cast import House
from tests.tanks.estate import vessel_of
from tests.tanks.samples import kit, logged
from tests.tanks.test_readings_page import page, signed_in


def test_correcting_on_the_page(house: House) -> None:
    vessel = vessel_of(house)
    first = logged(house, vessel, kit(house, "TAN"), "0.5")
    url = reverse("tanks:correct-reading", args=[first.pk])
    typed = {
        "id": str(uuid4()),
        "text": "0.05",
        "measure": "mg/L|N",
        "method": str(first.method_id),
        "reason": "",
    }
    client = signed_in(house.ana)

    refused = client.post(url, typed)
    done = client.post(url, typed | {"reason": "one nought too few"})

    assert refused.status_code == 422
    assert 'value="0.05"' in refused.content.decode()
    assert done.status_code == 303
    assert Reading.objects.current().get().as_entered == "0.05"


def test_withdrawing_on_the_page(house: House) -> None:
    vessel = vessel_of(house)
    first = logged(house, vessel, kit(house, "TAN"), "0.5", at=timezone.now())
    url = reverse("tanks:withdraw-entry", args=["tanks.reading", first.pk])
    client = signed_in(house.ana)

    assert client.get(url).status_code == 200
    assert client.post(url, {"id": str(uuid4()), "reason": "wrong tank"}).status_code == 303

    assert not Reading.objects.current().exists()
    assert "withdrawn" in page(house, vessel)
    assert (
        client.get(reverse("tanks:withdraw-entry", args=["facility.person", first.pk])).status_code
        == 404
    )
    assert signed_in(house.bo).get(url).status_code == 404


def test_a_kit_is_described_on_the_page(house: House) -> None:
    url = reverse("tanks:define-method", args=[house.site.pk, "nitrite"])
    typed = {
        "id": str(uuid4()),
        "kind": "COLOUR_KIT",
        "name": "Nitrite drops",
        "measure": "mg/L|NO2",
        "steps": "0 0,25 0.5 1",
        "lowest": "0.25",
    }
    client = signed_in(house.ana)

    wrong = client.post(url, typed | {"steps": "1 0.5"})
    done = client.post(url, typed)

    assert (wrong.status_code, done.status_code) == (422, 303)
    assert "from low to high" in wrong.content.decode()
    method = Method.objects.get()
    assert [float(step) for step in method.steps] == [0, 0.25, 0.5, 1]
    assert (method.basis, method.highest) == ("NO2", Decimal(1))
    assert "Nitrite drops" in client.get(reverse("tanks:methods")).content.decode()
