"""The demo: servers, data, then web workers, background worker and clock under one supervisor."""

import os
import secrets
import signal
import subprocess
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Final

from deploy import arguments, processes, servers
from deploy.addresses import ROOT
from deploy.arguments import HOST, Demo
from deploy.binaries import ServersUnavailable
from deploy.certificates import answers_to
from deploy.certified import Certified, NotCertified
from deploy.env import BadSetting
from deploy.network import NotPrivate, private_address
from deploy.place import KEPT
from deploy.supervisor import Child, Supervisor

_ALL: Final = "0.0.0.0"  # noqa: S104 - compared, not bound
_IPV6: Final = 6
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
    except (BadSetting, NotCertified, NotPrivate, ServersUnavailable) as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Stopped before it was ready.", file=sys.stderr)
        return 1


def _set_environment(demo: Demo) -> None:
    """As in production, but over plain http or our own https; what is set already stays."""
    hosts = ["localhost", HOST, demo.host, *(_certified_hosts(demo) if demo.https_port else ())]
    os.environ.setdefault("DEBUG", "no")
    os.environ.setdefault("HTTPS", "yes" if demo.https_port else "no")
    os.environ.setdefault("HTTPS_PORT", str(demo.https_port))
    os.environ.setdefault("HSTS", "no")
    os.environ.setdefault("ALLOWED_HOSTS", ",".join(dict.fromkeys(hosts)))
    if "SECRET_KEY" not in os.environ:
        os.environ.setdefault("SECRET_KEY_FILE", str(_secret_key_file(ROOT / KEPT)))


def _certified_hosts(demo: Demo) -> list[str]:
    """What the certificate says this server is called; it is made or renewed if need be."""
    told = [private_address(demo.host)] if demo.host[:1].isdigit() and demo.host != _ALL else []
    server = Certified().lasting(addresses=told, at=datetime.now(UTC))
    names, addresses = answers_to(server.certificate)
    return [*names, *(f"[{one}]" if one.version == _IPV6 else str(one) for one in addresses)]


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
    if demo.https_port:
        return f"https://{demo.host}:{demo.https_port}"
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
            if demo.https_port:
                print(f"How a phone trusts it: http://{demo.host}:{demo.port}/trust/", flush=True)
        return supervisor.watch()
    finally:
        supervisor.stop()


def _children(demo: Demo) -> list[Child]:
    celery = [*_PYTHON, *_ROOT_MAY_WORK, "-m", "celery", "-q", "-A", "deploy.celery"]
    worker = ["worker", "-c", "2", "-l", "WARNING", "--without-gossip", "--without-mingle"]
    beat = ["beat", "-l", "WARNING", "--pidfile=", "-s", str(ROOT / KEPT / "beat-schedule")]
    return [
        *web_servers(demo, Certified()),
        Child(name="background worker", command=[*celery, *worker]),
        Child(name="clock", command=[*celery, *beat]),
    ]


def web_servers(demo: Demo, kept: Certified) -> list[Child]:
    """One over plain http; over https another, and the plain one only leads to it."""
    if not demo.https_port:
        return [Child(name="web server", command=_granian(demo, demo.port, workers=2))]
    files = ["--ssl-certificate", str(kept.server_file), "--ssl-keyfile", str(kept.server_key_file)]
    # Phones of 2018 and before know no TLS 1.3.
    secure = [*files, "--ssl-protocol-min", "tls1.2"]
    return [
        Child(name="web server", command=_granian(demo, demo.https_port, *secure, workers=2)),
        Child(name="plain web server", command=_granian(demo, demo.port, workers=1)),
    ]


def _granian(demo: Demo, port: int, *options: str, workers: int) -> list[str]:
    granian = [*_PYTHON, "-m", "granian", "--interface", "wsgi", "--host", demo.host]
    shape = ["--port", str(port), "--workers", str(workers), "--blocking-threads", "4"]
    manners = ["--respawn-failed-workers", "--log-level", "warning", "deploy.wsgi:application"]
    return [*granian, *shape, *options, *manners]


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
