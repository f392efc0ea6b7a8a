"""What stands in the way of the two commands is said in one sentence, before any work."""

import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from deploy.addresses import ROOT
from deploy.arguments import HOST

NO_ENSUREPIP = """#!/bin/sh
[ "$1" = -m ] || exec {python} "$@"
shift 2
exec {python} -c 'import runpy, sys
sys.modules["ensurepip"] = None
runpy.run_module("deploy.environment", run_name="__main__", alter_sys=True)' "$@"
"""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """The scripts alone, with no environment made yet."""
    shutil.copytree(ROOT / "deploy", tmp_path / "house" / "deploy")
    return tmp_path / "house"


@pytest.fixture
def taken_port() -> Iterator[int]:
    with socket.socket() as listener:
        listener.bind((HOST, 0))
        listener.listen()
        yield listener.getsockname()[1]


def _run(root: Path, *words: str, path: Path | None = None) -> tuple[int, str]:
    search = str(path) if path else f"{Path(sys.executable).parent}:/usr/bin:/bin"
    ran = subprocess.run(
        [root / "deploy" / "demo", *words],
        env={"PATH": search, "HOME": str(root)},
        cwd="/",
        capture_output=True,
        text=True,
        check=False,
    )
    return ran.returncode, ran.stdout + ran.stderr


def _program(folder: Path, name: str, script: str) -> None:
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(script)
    (folder / name).chmod(0o755)


def test_taken_port_is_said_before_anything_is_installed(checkout: Path, taken_port: int) -> None:
    status, said = _run(checkout, "--port", str(taken_port))

    assert status == 1
    assert said == (
        f"Port {taken_port} on {HOST} is taken: stop what uses it, "
        "or choose another with --port N.\n"
    )
    assert not (checkout / ".venv").exists()


def test_an_address_that_is_not_this_machines_is_said(checkout: Path) -> None:
    # 203.0.113.0/24 is for documentation only (RFC 5737): no machine has it.
    status, said = _run(checkout, "--host", "203.0.113.9")

    assert status == 1
    assert said.startswith("Port 8000 on 203.0.113.9 cannot be used")


@pytest.mark.parametrize("word", ["0", "65536", "-5", "http"])
def test_port_that_is_none_is_refused(checkout: Path, word: str) -> None:
    status, said = _run(checkout, f"--port={word}")

    assert status == 2
    assert f"“{word}” is no port: give a number from 1 to 65535." in said


def test_missing_python_is_said(checkout: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    status, said = _run(checkout, path=tmp_path / "empty")

    assert status == 1
    assert said.startswith("Penstock needs Python 3.11 or newer on the PATH: install it")
    assert said.count("\n") == 1


def test_python_that_is_too_old_counts_as_missing(checkout: Path, tmp_path: Path) -> None:
    _program(tmp_path / "old", "python3", "#!/bin/sh\nexit 1\n")

    status, said = _run(checkout, path=tmp_path / "old")

    assert status == 1
    assert said.startswith("Penstock needs Python 3.11 or newer")


def test_missing_venv_module_names_the_package_to_install(checkout: Path, tmp_path: Path) -> None:
    _program(tmp_path / "bare", "python3", NO_ENSUREPIP.format(python=sys.executable))

    status, said = _run(checkout, "--no-serve", path=tmp_path / "bare")

    assert status == 1
    package = f"python3.{sys.version_info.minor}-venv"
    assert said.splitlines()[-1] == (
        f"This Python has no venv module: install it, on Debian with: apt install {package}"
    )
