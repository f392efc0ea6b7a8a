"""The checkout's own Valkey: queue and cache, kept in an append-only file."""

import re
import signal
import socket
from dataclasses import dataclass
from pathlib import Path

from deploy import binaries, processes
from deploy.binaries import ServersUnavailable
from deploy.place import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Valkey:
    place: Place

    def start(self) -> None:
        """Bring it up if nobody listens, and wait until its file is loaded.

        Raises:
            ServersUnavailable: it does not come up; the sentence holds its own words.
        """
        if not self._listens():
            self._launch()
        if not processes.wait_until(self._is_loaded, seconds=60):
            raise self._unavailable()

    def stop(self) -> None:
        if found := re.search(rb"process_id:(\d+)", self._ask(b"INFO server\r\n")):
            processes.end(int(found[1]), politely=signal.SIGTERM)

    def _launch(self) -> None:
        self.place.account.own(self.place.home / "valkey")
        child = processes.start(
            self._command(), account=self.place.account, log=self._log, tied=not self.place.durable
        )
        processes.wait_until(lambda: child.poll() is not None or self._listens(), seconds=60)
        if child.poll() is not None:
            raise self._unavailable()

    @property
    def _log(self) -> Path:
        return self.place.home / "valkey.log"

    def _unavailable(self) -> ServersUnavailable:
        said = processes.last_line(self._log)
        return ServersUnavailable(f"Valkey did not start; its log ends “{said}”.")

    def _command(self) -> list[str]:
        settings = {
            "port": "0",
            "unixsocket": str(self.place.sockets / "valkey.sock"),
            "unixsocketperm": "700",
            "dir": str(self.place.home / "valkey"),
            "appendonly": "yes" if self.place.durable else "no",
            "appendfsync": "everysec",
            "save": "",
            "maxmemory-policy": "noeviction",
        }
        pairs = [word for name, value in settings.items() for word in (f"--{name}", value)]
        tree = binaries.tree_of(binaries.VALKEY, account=self.place.account, copies=self.place.home)
        return [str(tree / "valkey-server"), *pairs]

    def _listens(self) -> bool:
        """Only a refusal means absent: a second server would take a slow one's socket away."""
        try:
            with self._line():
                return True
        except (FileNotFoundError, ConnectionRefusedError):
            return False

    def _is_loaded(self) -> bool:
        # With the line's beginning: "async_loading:0" stands there while the file is loading.
        return b"\nloading:0" in self._ask(b"INFO persistence\r\n")

    def _ask(self, question: bytes) -> bytes:
        try:
            with self._line() as line:
                line.sendall(question)
                return line.recv(65536)
        except OSError:
            return b""

    def _line(self) -> socket.socket:
        line = socket.socket(socket.AF_UNIX)
        line.settimeout(5)
        try:
            line.connect(str(self.place.sockets / "valkey.sock"))
        except OSError:
            line.close()
            raise
        return line
