"""The checkout's own PostgreSQL: made once, started when absent, reached by a unix socket only."""

import shutil
import signal
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from deploy import binaries, processes
from deploy.addresses import DATABASE
from deploy.binaries import ServersUnavailable
from deploy.place import Place

_READY: Final = 0
_REJECTING: Final = 1
_FAST_BUT_FORGETFUL: Final = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Postgres:
    place: Place

    @property
    def cluster(self) -> Path:
        return self.place.home / "postgres"

    def answers(self) -> int:
        """Zero when it takes connections, one while it starts or stops, more when absent."""
        question = [
            self._program("pg_isready"),
            "-q",
            "-h",
            str(self.place.sockets),
            "-d",
            "postgres",
        ]
        return subprocess.run(question, check=False, stderr=subprocess.DEVNULL).returncode

    def start(self) -> None:
        """Bring it up, waiting for one that is stopping or recovering.

        Raises:
            ServersUnavailable: it does not come up; the sentence holds its own words.
        """
        processes.wait_until(lambda: self.answers() != _REJECTING, seconds=60)
        if self.answers() == _READY:
            return
        if not (self.cluster / "PG_VERSION").exists():
            self._make_cluster()
        # Backends of a killed server hold its memory for a moment: try again until they are gone.
        if not processes.wait_until(self._came_up, seconds=30):
            said = processes.last_line(self._log)
            raise ServersUnavailable(f"PostgreSQL did not start; its log ends “{said}”.")

    def stop(self) -> None:
        pid_file = self.cluster / "postmaster.pid"
        if self.answers() <= _REJECTING and pid_file.exists():
            processes.end(int(pid_file.read_text().split()[0]), politely=signal.SIGINT)

    @property
    def _log(self) -> Path:
        return self.place.home / "postgres.log"

    def _program(self, name: str) -> str:
        tree = binaries.tree_of(
            binaries.POSTGRES, account=self.place.account, copies=self.place.home
        )
        return str(tree / "bin" / name)

    def _came_up(self) -> bool:
        child = processes.start(
            self._command(), account=self.place.account, log=self._log, tied=not self.place.durable
        )
        processes.wait_until(
            lambda: child.poll() is not None or self.answers() == _READY, seconds=120
        )
        return self.answers() == _READY

    def _command(self) -> list[str]:
        settings = [
            "listen_addresses=",
            f"unix_socket_directories={self.place.sockets}",
            "timezone=UTC",
            "log_timezone=UTC",
            *(() if self.place.durable else _FAST_BUT_FORGETFUL),
        ]
        pairs = [word for setting in settings for word in ("-c", setting)]
        return [self._program("postgres"), "-D", str(self.cluster), *pairs]

    def _make_cluster(self) -> None:
        """Make it under another name first: a half-made cluster is never taken for a whole one."""
        unfinished = self.place.home / "postgres.unfinished"
        shutil.rmtree(unfinished, ignore_errors=True)
        self.place.account.own(unfinished)
        place = ["-D", str(unfinished)]
        self._run(["initdb", *place, *_INITDB] + ([] if self.place.durable else ["--no-sync"]))
        self._run(["postgres", "--single", *place, "postgres"], said=f"CREATE DATABASE {DATABASE}")
        unfinished.rename(self.cluster)

    def _run(self, words: list[str], *, said: str = "") -> None:
        done = subprocess.run(
            [self._program(words[0]), *words[1:]],
            input=said,
            capture_output=True,
            text=True,
            check=False,
            cwd="/",
            **self.place.account.run_options(),
        )
        if done.returncode != 0:
            line = (done.stderr.strip() or "nothing was said").splitlines()[-1]
            raise ServersUnavailable(f"PostgreSQL’s {words[0]} failed: {line}.")


_INITDB: Final = (
    f"--username={DATABASE}",
    "--auth=trust",
    "--encoding=UTF8",
    # No drift of sort order when the machine's C library or ICU changes.
    "--locale-provider=builtin",
    "--locale=C.UTF-8",
)
