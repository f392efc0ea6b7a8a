"""A real worker on a real broker: what is logged on a page is forecast without being asked."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from urllib.parse import urlsplit

import pytest
from django.db import connection
from django.utils import timezone

from deploy.addresses import ROOT, Addresses
from deploy.celery import app
from deploy.processes import wait_until
from facility.models import Entry
from facility.queries.proof import first_breach
from tanks.models import Forecast
from tests.cast import House
from tests.tanks.startups import under_way


@contextmanager
def worker(at: Addresses) -> Iterator[None]:
    """One that works on this test's own database."""
    here = urlsplit(at.database_url)._replace(path=f"/{connection.settings_dict['NAME']}")
    urls = {"DATABASE_URL": here.geturl(), "REDIS_URL": at.redis_url}
    command = [sys.executable, "-m", "celery", "-q", "-A", "deploy.celery", "worker", "-c", "1"]
    with subprocess.Popen([*command, "-l", "WARNING"], cwd=ROOT, env=os.environ | urls) as process:
        try:
            yield
        finally:
            process.terminate()


@pytest.mark.django_db(transaction=True)
def test_a_reading_is_followed_by_a_forecast(own_servers: Addresses, house: House) -> None:
    app.control.purge()
    known = under_way(house)
    app.control.purge()
    at = timezone.now() - timedelta(hours=1)

    with worker(own_servers):
        known.read("TAN", "1.2", at=at)
        followed = wait_until(Forecast.objects.exists, seconds=60, poll_s=0.25)

    assert followed
    kept = Forecast.objects.get()
    assert kept.cycle == known.cycle
    assert [one["value"] for one in kept.case["readings"]] == [1.2]
    assert Entry.objects.filter(kind="tanks.keep-forecast", by=None).count() == 1
    assert first_breach(house.site) is None
