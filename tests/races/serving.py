"""The real web server on this test's own database, killed and started again at will."""

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from urllib.parse import urlsplit

from django.db import connection

from deploy.addresses import ROOT, Addresses
from deploy.processes import wait_until


class Serving:
    """A web server with two workers at ``http://localhost:<port>``."""

    def __init__(self, at: Addresses) -> None:
        here = urlsplit(at.database_url)._replace(path=f"/{connection.settings_dict['NAME']}")
        urls = {"DATABASE_URL": here.geturl(), "REDIS_URL": at.redis_url}
        self._environ = os.environ | urls
        self._process: subprocess.Popen[bytes] | None = None
        self.port = _free_port()

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    def start(self) -> None:
        shape = ["--port", str(self.port), "--workers", "2", "--blocking-threads", "4"]
        program = [sys.executable, "-m", "granian", "--interface", "wsgi", "--host", "127.0.0.1"]
        self._process = subprocess.Popen(
            [*program, *shape, "--log-level", "critical", "deploy.wsgi:application"],
            cwd=ROOT,
            env=self._environ,
            start_new_session=True,
        )
        assert wait_until(self.answers, seconds=60, poll_s=0.1)

    def kill(self) -> None:
        """At once, in the midst of whatever it does."""
        if self._process is not None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait(timeout=20)
            self._process = None

    def answers(self) -> bool:
        web = HTTPConnection("127.0.0.1", self.port, timeout=2)
        try:
            web.request("GET", "/alive/", headers={"Host": f"localhost:{self.port}"})
            return web.getresponse().status == 200
        except (OSError, HTTPException):
            return False
        finally:
            web.close()


@contextmanager
def serving(at: Addresses) -> Iterator[Serving]:
    server = Serving(at)
    server.start()
    try:
        yield server
    finally:
        server.kill()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
