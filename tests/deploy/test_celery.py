"""One real worker on a real broker: eager runs would hide what only processes show."""

import os
import subprocess
import sys
from collections.abc import Iterator

import pytest

from deploy.addresses import ROOT, Addresses
from deploy.celery import app
from deploy.processes import wait_until

pytestmark = pytest.mark.usefixtures("django_db_modify_db_settings")


@pytest.fixture(scope="module")
def worker(own_servers: Addresses) -> Iterator[str]:
    at = {"DATABASE_URL": own_servers.database_url, "REDIS_URL": own_servers.redis_url}
    command = [sys.executable, "-m", "celery", "-q", "-A", "deploy.celery", "worker", "-c", "1"]
    with subprocess.Popen([*command, "-n", "tried@here"], cwd=ROOT, env=os.environ | at) as process:
        yield "tried@here"  # the name to ask it by
        process.terminate()


def test_worker_knows_every_job_the_clock_sends(worker: str) -> None:
    inspect = app.control.inspect([worker], timeout=1)
    assert wait_until(lambda: inspect.ping() is not None, seconds=30)

    known = set((inspect.registered() or {})[worker])

    scheduled = {entry["task"] for entry in app.conf.beat_schedule.values()}
    assert scheduled
    assert scheduled - known == set()
