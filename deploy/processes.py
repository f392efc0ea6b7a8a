"""Starting, awaiting and ending a server process."""

import os
import signal
import subprocess
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from deploy.account import Account
from deploy.tied import signalled_when_parent_dies

# Kept so that a child is reaped when it ends, and nobody warns of one meant to outlive us.
_CHILDREN: Final[dict[int, subprocess.Popen[bytes]]] = {}


def start(
    command: Sequence[str], *, account: Account, log: Path, tied: bool
) -> subprocess.Popen[bytes]:
    """Start a server in its own session, so that a terminal's Ctrl-C does not reach it."""
    _reap()
    with log.open("ab") as output:
        child = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=output,
            cwd="/",
            start_new_session=True,
            preexec_fn=signalled_when_parent_dies(signal.SIGINT) if tied else None,  # noqa: PLW1509 - one call into the kernel
            **account.run_options(),
        )
    _CHILDREN[child.pid] = child
    return child


def _reap() -> None:
    """A dead child we never asked about would still look alive to its successor."""
    for pid, child in list(_CHILDREN.items()):
        if child.poll() is not None:
            del _CHILDREN[pid]


def wait_until(true: Callable[[], bool], *, seconds: float, poll_s: float = 0.02) -> bool:
    """Ask again and again; False when time ran out."""
    deadline = time.monotonic() + seconds
    while not true():
        if time.monotonic() > deadline:
            return False
        time.sleep(poll_s)
    return True


def end(pid: int, *, politely: signal.Signals) -> None:
    """Ask a session leader to stop; after 20 s end its whole group."""
    try:
        os.kill(pid, politely)
        if not wait_until(lambda: _gone(pid), seconds=20):
            os.killpg(pid, signal.SIGKILL)
            wait_until(lambda: _gone(pid), seconds=5)
    except ProcessLookupError:
        return


def last_line(log: Path) -> str:
    lines = log.read_text(encoding="utf-8", errors="replace").split("\n") if log.exists() else []
    return next((line.strip() for line in reversed(lines) if line.strip()), "nothing was logged")


def _gone(pid: int) -> bool:
    if (child := _CHILDREN.get(pid)) is not None:
        return child.poll() is not None
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    return _is_unreaped(pid)


def _is_unreaped(pid: int) -> bool:
    """Dead, but nobody asked: so it stays in a container whose first process never does."""
    state = Path(f"/proc/{pid}/stat")
    return state.exists() and state.read_text().rpartition(")")[2].split()[0] == "Z"
