"""What was saved stays saved when database and writer are killed outright, at any moment.

Durability is PostgreSQL's own, with fsync on; a power cut is beyond what a test can do.
"""

import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from uuid import UUID

import psycopg
import pytest

from deploy import addresses, servers
from deploy.addresses import ROOT, Addresses
from deploy.place import KEPT

_SECONDS_OF_WRITING = random.Random().uniform(0.3, 1.2)  # noqa: S311 - any moment will do


@pytest.fixture
def root(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A house of its own that any account reaches; servers given by URL are out of sight."""
    for name in ("DATABASE_URL", "REDIS_URL", "DATABASE_URL_FILE", "REDIS_URL_FILE"):
        monkeypatch.delenv(name, raising=False)
    folder = Path(tempfile.mkdtemp(prefix="killed-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)
    shutil.rmtree(addresses.socket_folder(folder), ignore_errors=True)


def test_a_saved_entry_survives_kill_9_of_everything(root: Path) -> None:
    with servers.in_use(root) as at:
        assert setting(at, "fsync") == setting(at, "synchronous_commit") == "on"
        with started("-m", "tests.races.writer", at=at) as writer:
            said = saved_until_killed(writer, postmaster=postmaster_of(root))
        servers.revive(root)
        kept = ids_in(at)

        assert len(said) > 1
        assert said - kept == set()
        # One more may have been saved whose answer nobody heard.
        assert len(kept - said) <= 1
        with started("manage.py", "prove", at=at) as proof:
            told, _ = proof.communicate(timeout=60)
        assert "lines hold" in told
        assert proof.returncode == 0


def saved_until_killed(writer: subprocess.Popen[str], *, postmaster: int) -> set[UUID]:
    """Return the ids the writer could still say."""
    assert writer.stdout
    first = writer.stdout.readline()
    time.sleep(_SECONDS_OF_WRITING)
    backends = children_of(postmaster)
    os.kill(postmaster, signal.SIGKILL)
    writer.kill()
    for backend in backends:
        os.kill(backend, signal.SIGKILL)
    rest = writer.stdout.read().splitlines(keepends=True)
    return {UUID(line.strip()) for line in (first, *rest) if line.endswith("\n")}


def started(*words: str, at: Addresses) -> subprocess.Popen[str]:
    environ = os.environ | {
        "DATABASE_URL": at.database_url,
        "REDIS_URL": at.redis_url,
        "DJANGO_SETTINGS_MODULE": "deploy.settings",
    }
    return subprocess.Popen(
        [sys.executable, *words], cwd=ROOT, env=environ, stdout=subprocess.PIPE, text=True
    )


def postmaster_of(root: Path) -> int:
    return int((root / KEPT / "postgres" / "postmaster.pid").read_text().split()[0])


def children_of(pid: int) -> list[int]:
    return [int(child) for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def ids_in(at: Addresses) -> set[UUID]:
    with psycopg.connect(at.database_url) as database:
        return {row[0] for row in database.execute("SELECT id FROM tanks_reading")}


def setting(at: Addresses, name: str) -> str:
    with psycopg.connect(at.database_url) as database:
        row = database.execute(
            "SELECT current_setting(%s)",
            [name],
        ).fetchone()
    return str(row[0]) if row else ""
