"""The demo: servers, data, then web workers, background worker and clock under one supervisor."""

import os
import secrets
import signal
import subprocess
import sys
from collections.abc import Sequence
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Final

from deploy import arguments, processes, servers
from deploy.addresses import ROOT
from deploy.arguments import HOST, Demo
from deploy.binaries import ServersUnavailable
from deploy.env import BadSetting
from deploy.place import KEPT
from deploy.supervisor import Child, Supervisor

_PYTHON: Final = (sys.executable,)
# The worker reads no pickled task, which is what the warning is about.
_ROOT_MAY_WORK: Final = ("-W", "ignore:You're running the worker with superuser privileges")


def main(words: Sequence[str]) -> int:
    demo = arguments.parse(words)
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        with servers.in_use():
            _set_environment(demo)
            return _load(demo) or (_serve(demo) if demo.serve else _say_ready())
    except (BadSetting, ServersUnavailable) as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Stopped before it was ready.", file=sys.stderr)
        return 1


def _set_environment(demo: Demo) -> None:
    """As in production, but over plain http; what is set already stays."""
    os.environ.setdefault("DEBUG", "no")
    os.environ.setdefault("HTTPS", "no")
    os.environ.setdefault("ALLOWED_HOSTS", f"localhost,{HOST},{demo.host}")
    if "SECRET_KEY" not in os.environ:
        os.environ.setdefault("SECRET_KEY_FILE", str(_secret_key_file(ROOT / KEPT)))


def _secret_key_file(folder: Path) -> Path:
    path = folder / "secret-key"
    if not path.exists():
        path.touch(mode=0o600)
        path.write_text(secrets.token_urlsafe(64))
    return path


def _load(demo: Demo) -> int:
    loading = [*_PYTHON, "-m", "deploy.loading", _address(demo)]
    return subprocess.run(loading, check=False).returncode


def _address(demo: Demo) -> str:
    return f"http://{demo.host}:{demo.port}"


def _say_ready() -> int:
    print("Everything is ready: ./deploy/demo serves it.")
    return 0


def _serve(demo: Demo) -> int:
    supervisor = Supervisor(_children(demo), look_after=servers.revive)
    try:
        supervisor.start()
        processes.wait_until(
            lambda: supervisor.is_stopping or _answers(demo), seconds=60, poll_s=0.2
        )
        if not supervisor.is_stopping:
            print(f"Penstock answers at {_address(demo)}/ (Ctrl-C stops it).", flush=True)
        return supervisor.watch()
    finally:
        supervisor.stop()


def _children(demo: Demo) -> list[Child]:
    celery = [*_PYTHON, *_ROOT_MAY_WORK, "-m", "celery", "-q", "-A", "deploy.celery"]
    worker = ["worker", "-c", "2", "-l", "WARNING", "--without-gossip", "--without-mingle"]
    beat = ["beat", "-l", "WARNING", "--pidfile=", "-s", str(ROOT / KEPT / "beat-schedule")]
    granian = [*_PYTHON, "-m", "granian", "--interface", "wsgi", "--host", demo.host]
    shape = ["--port", str(demo.port), "--workers", "2", "--blocking-threads", "4"]
    manners = ["--respawn-failed-workers", "--log-level", "warning", "deploy.wsgi:application"]
    return [
        Child(name="web server", command=[*granian, *shape, *manners]),
        Child(name="background worker", command=[*celery, *worker]),
        Child(name="clock", command=[*celery, *beat]),
    ]


def _answers(demo: Demo) -> bool:
    web = HTTPConnection(demo.host, demo.port, timeout=5)
    try:
        web.request("GET", "/alive/")
        return web.getresponse().status == HTTPStatus.OK
    except (OSError, HTTPException):
        return False
    finally:
        web.close()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
