"""A sender killed outright between sending and marking may say a thing twice, and loses nothing."""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

import pytest
from django.db import connection

from deploy.addresses import ROOT, Addresses
from deploy.processes import wait_until
from facility.models import Notice
from tests.cast import House
from tests.facility.alerting import a_sign, raised
from tests.facility.calling import a_listener, received_at

_MANY, _KILLS = 12, 3


@pytest.mark.django_db(transaction=True)
def test_a_killed_sender_loses_nothing(house: House, own_servers: Addresses) -> None:
    with a_listener() as receiver:
        for number in range(_MANY):
            received_at(house, receiver.url, name=f"Machine {number}")
        raised(house, a_sign(level=1))

        for kill in range(1, _KILLS + 1):
            receiver.pause.clear()
            with sending(own_servers) as sender:
                before = len(receiver.requests)
                assert wait_until(lambda: len(receiver.requests) > before, seconds=30)  # noqa: B023 - called at once
                sender.kill()
            # Taken by the receiver, and marked by nobody.
            key = receiver.keys()[-1]
            assert Notice.objects.get(pk=key).delivered_at is None, kill
            receiver.pause.set()

        with sending(own_servers):
            assert wait_until(all_delivered, seconds=30)

        told = Counter(receiver.keys())

    assert set(told) == {str(pk) for pk in Notice.objects.values_list("pk", flat=True)}
    assert len(told) == _MANY
    assert 1 <= sum(told.values()) - _MANY <= _KILLS


@contextmanager
def sending(at: Addresses) -> Iterator[subprocess.Popen[bytes]]:
    here = urlsplit(at.database_url)._replace(path=f"/{connection.settings_dict['NAME']}")
    environ = os.environ | {
        "DATABASE_URL": here.geturl(),
        "REDIS_URL": at.redis_url,
        "DJANGO_SETTINGS_MODULE": "deploy.settings",
    }
    command = [sys.executable, "-m", "tests.races.sender"]
    with subprocess.Popen(command, cwd=ROOT, env=environ) as process:
        try:
            yield process
        finally:
            process.kill()


def all_delivered() -> bool:
    return not Notice.objects.filter(delivered_at=None).exists()
