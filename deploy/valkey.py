"""The checkout's own Valkey: queue and cache, kept in an append-only file."""

import re
import signal
import socket
from dataclasses import dataclass

from deploy import binaries, processes
from deploy.binaries import ServersUnavailable
from deploy.place import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Valkey:
    place: Place

    def start(self) -> None:
        """Bring it up if it does not answer.

        Raises:
            ServersUnavailable: it does not come up; the sentence holds its own words.
        """
        if self._process_id() is not None:
            return
        self.place.account.own(self.place.home / "valkey")
        log = self.place.home / "valkey.log"
        child = processes.start(
            self._command(), account=self.place.account, log=log, tied=not self.place.durable
        )
        up = processes.wait_until(
            lambda: child.poll() is not None or self._process_id() is not None, seconds=60
        )
        if not up or child.poll() is not None:
            said = processes.last_line(log)
            raise ServersUnavailable(f"Valkey did not start; its log ends “{said}”.")

    def stop(self) -> None:
        if (pid := self._process_id()) is not None:
            processes.end(pid, politely=signal.SIGTERM)

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

    def _process_id(self) -> int | None:
        """Ask it; None while it is absent or still loading."""
        answer = self._ask(b"INFO server\r\n")
        found = re.search(rb"process_id:(\d+)", answer)
        loading = b"loading:1" in self._ask(b"INFO persistence\r\n")
        return int(found[1]) if found and not loading else None

    def _ask(self, question: bytes) -> bytes:
        with socket.socket(socket.AF_UNIX) as line:
            line.settimeout(5)
            try:
                line.connect(str(self.place.sockets / "valkey.sock"))
                line.sendall(question)
                return line.recv(65536)
            except OSError:
                return b""
