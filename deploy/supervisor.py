"""Keep a handful of processes running, and end them all together."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from types import FrameType
from typing import Final

from deploy import processes
from deploy.tied import signalled_when_parent_dies

_POLL_S: Final = 0.2
_LOOK_S: Final = 3.0
_MOST_RESTARTS: Final = 5
_WITHIN_S: Final = 60.0


@dataclass(slots=True, kw_only=True)
class Child:
    """One process to keep; ``deaths`` are moments of the monotonic clock."""

    name: str
    command: Sequence[str]
    process: subprocess.Popen[bytes] | None = None
    deaths: list[float] = field(default_factory=list)

    def start(self) -> None:
        self.process = subprocess.Popen(
            self.command,
            stdin=subprocess.DEVNULL,
            start_new_session=True,
            preexec_fn=signalled_when_parent_dies(signal.SIGTERM),  # noqa: PLW1509 - one call into the kernel
        )

    def is_dead(self) -> bool:
        return self.process is not None and self.process.poll() is not None

    def signal(self, number: signal.Signals) -> None:
        """Signal the process; SIGKILL goes to its whole session, orphans included."""
        if self.process is None:
            return
        with suppress(ProcessLookupError):
            if number is signal.SIGKILL:
                os.killpg(self.process.pid, number)
            elif self.process.poll() is None:
                self.process.send_signal(number)


class Supervisor:
    """Keeps ``children``; asks ``look_after`` every few seconds to keep what they depend on."""

    def __init__(
        self,
        children: Sequence[Child],
        *,
        look_after: Callable[[], None],
        patience_s: float = 15,
    ) -> None:
        self._children = children
        self._patience_s = patience_s
        self._look_after = look_after
        self._looked_at = time.monotonic()
        self._is_stopping = False

    def start(self) -> None:
        """Start all; from here on SIGINT and SIGTERM mean: stop all and return."""
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._ask_to_stop)
        for child in self._children:
            child.start()

    def watch(self) -> int:
        """Restart what dies until asked to stop; return the exit status.

        A child that dies more than five times in a minute takes the others down with it.
        """
        while not self._is_stopping:
            for child in self._children:
                if child.is_dead() and not self._revive(child):
                    return 1
            self._look()
            time.sleep(_POLL_S)
        return 0

    def stop(self) -> None:
        for child in self._children:
            child.signal(signal.SIGTERM)
        processes.wait_until(
            lambda: all(child.is_dead() for child in self._children), seconds=self._patience_s
        )
        for child in self._children:
            child.signal(signal.SIGKILL)
            if child.process is not None:
                child.process.wait()

    @property
    def is_stopping(self) -> bool:
        return self._is_stopping

    def _ask_to_stop(self, _number: int, _frame: FrameType | None) -> None:
        self._is_stopping = True

    def _look(self) -> None:
        if time.monotonic() - self._looked_at > _LOOK_S:
            self._look_after()
            self._looked_at = time.monotonic()

    def _revive(self, child: Child) -> bool:
        now = time.monotonic()
        child.deaths = [at for at in child.deaths if now - at < _WITHIN_S] + [now]
        # Celery's pool outlives a killed main process and would go on beside the new one.
        child.signal(signal.SIGKILL)
        if len(child.deaths) > _MOST_RESTARTS:
            print(f"The {child.name} keeps dying: see its lines above.", file=sys.stderr)
            return False
        print(f"The {child.name} died and is started again.", file=sys.stderr, flush=True)
        child.start()
        return True
