"""A house that stands for a whole module, built in a transaction that is undone at its end."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from typing import Any

import pytest
from django.db import connection, transaction
from django.utils import timezone
from pytest_django import DjangoDbBlocker
from rest_framework.test import APIClient
from rest_framework.utils.encoders import JSONEncoder

from facility.models import Person
from facility.sockets.deeds import MANAGER, STAFF, VETERINARIAN, Deed
from tests.cast import House, build_house
from tests.contracts.acts import DEEDS, example_of
from tests.quarantine.ready import AT


@dataclass(frozen=True, slots=True)
class Act:
    """A deed with an example of it, in the house where it may be done."""

    deed: Deed
    house: House
    command: Any

    @property
    def doer(self) -> Person:
        """Somebody whose role may do it, and who has no part in what it judges."""
        here = {VETERINARIAN: self.house.vera, STAFF: self.house.ana, MANAGER: self.house.mo}
        return next(person for role, person in here.items() if role in self.deed.roles)


@pytest.fixture(scope="module")
def noon() -> Iterator[None]:
    """Interfaces read the clock; here it says ``AT``."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(timezone, "now", lambda: AT)
        yield


@pytest.fixture(scope="module")
def standing_house(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker, noon: None
) -> Iterator[House]:
    with django_db_blocker.unblock(), undone():
        yield build_house()


@pytest.fixture(scope="module", params=DEEDS, ids=lambda deed: deed.name)
def act(request: pytest.FixtureRequest, standing_house: House) -> Iterator[Act]:
    with undone():
        yield Act(request.param, standing_house, example_of(request.param)(standing_house))


@contextmanager
def undone() -> Iterator[None]:
    """Undo at its end what was committed inside; commands take it for a test's own transaction."""
    block: Any = transaction.atomic()
    block._from_testcase = True
    with block:
        yield
        connection.check_constraints()
        transaction.set_rollback(True)


def posted(deed: str, body: Any, *, by: Person) -> Any:
    """Send a deed the way a device does; what goes wrong inside is an answer of 500."""
    client = APIClient(raise_request_exception=False)
    client.force_authenticate(by)
    text = body if isinstance(body, str) else json.dumps(body)
    return client.post(f"/api/deeds/{deed}/", text, content_type="application/json")


def plain(command: Any) -> dict[str, Any]:
    """The command as JSON."""
    told: dict[str, Any] = json.loads(json.dumps(asdict(command), cls=JSONEncoder))
    return told
