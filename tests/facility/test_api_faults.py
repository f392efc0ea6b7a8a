"""Whatever goes wrong under /api/ is told in JSON; pages stay pages."""

import pytest
from django.test import Client
from rest_framework.test import APIClient

from facility.api.ledger import LedgerView
from tests.cast import House


def _broken(*_: object) -> None:
    raise RuntimeError("pump room on fire")


def test_an_unexpected_fault_is_answered_in_json(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(LedgerView, "get_queryset", _broken)
    client = APIClient(raise_request_exception=False)
    client.force_authenticate(house.ana)

    answer = client.get("/api/ledger/")

    assert answer.status_code == 500
    assert "Send it again with the same id" in answer.json()["detail"]
    assert "pump room" not in answer.content.decode()


def test_an_address_that_is_not_there_is_answered_in_its_own_kind(client: Client) -> None:
    program, person = client.get("/api/no-such/"), client.get("/no-such/")

    assert (program.status_code, person.status_code) == (404, 404)
    assert program.json() == {"detail": "There is nothing at this address."}
    assert person["Content-Type"].startswith("text/html")
