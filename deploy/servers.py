"""The checkout's own PostgreSQL and Valkey, shared by every process that works here.

Each user holds a shared lock while it works; the last one out stops the servers. A user that is
killed drops its lock, and the servers it leaves behind are used, and stopped, by the next.
"""

import fcntl
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from deploy import addresses, place
from deploy.addresses import ROOT, Addresses
from deploy.binaries import ServersUnavailable
from deploy.place import KEPT, Place
from deploy.postgres import Postgres
from deploy.valkey import Valkey


@contextmanager
def in_use(root: Path = ROOT) -> Iterator[Addresses]:
    """Have the checkout's servers up meanwhile; what a URL names is neither started nor stopped.

    Raises:
        ServersUnavailable: one sentence naming what stands in the way.
    """
    if all(addresses.given()):
        yield addresses.from_environment()
        return
    home = place.of_checkout(root)
    with _lock_file(root, "users.lock") as users, _lock_file(root, "gate.lock") as gate:
        try:
            _join(home, users=users, gate=gate)
            yield addresses.from_environment(sockets=home.sockets)
        finally:
            _leave(home, users=users, gate=gate)


def revive(root: Path = ROOT) -> None:
    """Start again whichever of the checkout's servers died under its users.

    Raises:
        ServersUnavailable: one sentence naming what stands in the way.
    """
    if not all(addresses.given()):
        with _lock_file(root, "gate.lock") as gate, _held(gate):
            _start(place.of_checkout(root))


@contextmanager
def private() -> Iterator[Addresses]:
    """Have a pair of forgetful servers for one test run; what a URL names is used instead."""
    folder = Path(tempfile.mkdtemp(prefix="penstock-", dir="/tmp"))
    home = place.for_one_run(folder)
    try:
        _start(home)
        yield addresses.from_environment(sockets=home.sockets)
    finally:
        _stop(home)
        shutil.rmtree(folder)


def _lock_file(root: Path, name: str) -> IO[str]:
    folder = root / KEPT
    try:
        folder.mkdir(exist_ok=True)
        return (folder / name).open("a")
    except PermissionError as error:
        raise ServersUnavailable(
            f"{error.filename} belongs to someone else: work as that person, or remove it."
        ) from error


def _join(home: Place, *, users: IO[str], gate: IO[str]) -> None:
    with _held(gate):
        fcntl.flock(users, fcntl.LOCK_SH)
        _start(home)


def _leave(home: Place, *, users: IO[str], gate: IO[str]) -> None:
    with _held(gate):
        if _is_last(users):
            _stop(home)


@contextmanager
def _held(gate: IO[str]) -> Iterator[None]:
    fcntl.flock(gate, fcntl.LOCK_EX)
    try:
        yield
    finally:
        fcntl.flock(gate, fcntl.LOCK_UN)


def _is_last(users: IO[str]) -> bool:
    try:
        fcntl.flock(users, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _start(home: Place) -> None:
    home.prepare()
    for server in _servers(home):
        server.start()


def _stop(home: Place) -> None:
    for server in _servers(home):
        server.stop()


def _servers(home: Place) -> Iterator[Postgres | Valkey]:
    """Those that no URL stands in for."""
    database_given, broker_given = addresses.given()
    if not database_given:
        yield Postgres(place=home)
    if not broker_given:
        yield Valkey(place=home)
