"""Real servers, really killed. Durability is PostgreSQL's and Valkey's own; we must not lose it."""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
import redis

from deploy import addresses, processes, servers
from deploy.addresses import Addresses
from deploy.binaries import ServersUnavailable
from deploy.place import KEPT


@pytest.fixture
def checkout(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A root of its own that any account reaches; servers given by URL are out of sight."""
    for name in ("DATABASE_URL", "REDIS_URL", "DATABASE_URL_FILE", "REDIS_URL_FILE"):
        monkeypatch.delenv(name, raising=False)
    root = Path(tempfile.mkdtemp(prefix="checkout-"))
    root.chmod(0o755)
    yield root
    shutil.rmtree(root)
    shutil.rmtree(addresses.socket_folder(root), ignore_errors=True)


def _told(at: Addresses, statement: str) -> list[tuple[object, ...]]:
    with psycopg.connect(at.database_url) as database:
        answer = database.execute(statement.encode())
        return answer.fetchall() if answer.description else []


def _postgres_pid(root: Path) -> int:
    return int((root / KEPT / "postgres" / "postmaster.pid").read_text().split()[0])


def _is_up(at: Addresses) -> bool:
    try:
        return _told(at, "SELECT 1") == [(1,)]
    except psycopg.OperationalError:
        return False


def test_committed_rows_survive_a_killed_database(checkout: Path) -> None:
    with servers.in_use(checkout) as at:
        _told(at, "CREATE TABLE kept AS SELECT generate_series(1, 1000) AS row")
        os.kill(_postgres_pid(checkout), signal.SIGKILL)
        servers.revive(checkout)

        assert _told(at, "SELECT count(*), sum(row) FROM kept") == [(1000, 500500)]


def test_queued_job_survives_a_killed_broker(checkout: Path) -> None:
    with servers.in_use(checkout) as at, redis.from_url(at.redis_url) as queue:
        queue.rpush("jobs", "one")
        time.sleep(1.2)  # Valkey's append-only file reaches the disk each second.
        os.kill(queue.info("server")["process_id"], signal.SIGKILL)
        servers.revive(checkout)

        assert queue.lrange("jobs", 0, -1) == [b"one"]


def test_servers_left_by_a_killed_user_are_used_and_then_stopped(checkout: Path) -> None:
    dies = (
        "import os, pathlib, sys\nfrom deploy import servers\n"
        "with servers.in_use(pathlib.Path(sys.argv[1])): os.kill(os.getpid(), 9)"
    )
    subprocess.run([sys.executable, "-c", dies, str(checkout)], cwd=addresses.ROOT, check=False)
    left = _postgres_pid(checkout)

    with servers.in_use(checkout) as at:
        assert _postgres_pid(checkout) == left
        assert _is_up(at)
    assert not _is_up(at)


def test_first_to_leave_does_not_stop_what_another_uses(checkout: Path) -> None:
    with servers.in_use(checkout) as at:
        with servers.in_use(checkout):
            pass
        assert _is_up(at)
    assert not _is_up(at)


def test_half_made_cluster_is_not_taken_for_a_whole_one(checkout: Path) -> None:
    unfinished = checkout / KEPT / "postgres.unfinished"
    unfinished.mkdir(parents=True)
    (unfinished / "PG_VERSION").write_text("18\n")

    with servers.in_use(checkout) as at:
        assert _is_up(at)


def test_sorting_does_not_depend_on_the_machine(checkout: Path) -> None:
    question = "SELECT datlocprovider::text, datlocale FROM pg_database WHERE datname = 'penstock'"

    with servers.in_use(checkout) as at:
        assert _told(at, question) == [("b", "C.UTF-8")]
        assert _told(at, "SHOW fsync") == [("on",)]


def test_servers_never_run_as_root_and_listen_on_no_port(checkout: Path) -> None:
    with servers.in_use(checkout) as at, redis.from_url(at.redis_url) as queue:
        pids = (_postgres_pid(checkout), queue.info("server")["process_id"])

        assert 0 not in {Path(f"/proc/{pid}").stat().st_uid for pid in pids}
        assert _told(at, "SHOW listen_addresses") == [("",)]
        assert queue.info("server")["tcp_port"] == 0
        assert addresses.socket_folder(checkout).stat().st_mode & 0o077 == 0


def test_link_laid_where_the_sockets_belong_is_refused(checkout: Path) -> None:
    addresses.socket_folder(checkout).symlink_to("/")

    with (
        pytest.raises(ServersUnavailable, match="belongs to someone else"),
        servers.in_use(checkout),
    ):
        pass
    addresses.socket_folder(checkout).unlink()


def test_nothing_is_started_for_servers_given_by_url(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql://db.example/penstock")
    monkeypatch.setenv("REDIS_URL", "redis://queue.example/0")

    with servers.in_use(checkout) as at:
        assert at.database_url == "postgresql://db.example/penstock"
    assert not (checkout / KEPT).exists()


def test_servers_of_a_killed_test_run_die_with_it() -> None:
    dies = (
        "import os, psycopg\nfrom deploy import servers\n"
        "with servers.private() as at:\n"
        "    with psycopg.connect(at.database_url) as database:\n"
        "        print(*database.execute('SHOW data_directory').fetchone(), flush=True)\n"
        "    os.kill(os.getpid(), 9)"
    )
    clean = {name: value for name, value in os.environ.items() if not name.endswith("_URL")}
    killed = subprocess.run(
        [sys.executable, "-c", dies],
        cwd=addresses.ROOT,
        env=clean,
        capture_output=True,
        text=True,
        check=False,
    )
    cluster = Path(killed.stdout.strip())

    gone = processes.wait_until(lambda: not (cluster / "postmaster.pid").exists(), seconds=10)
    shutil.rmtree(cluster.parent)
    assert gone
