"""Make .venv from a hash-pinned lock, then run there; standard library only."""

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path
from typing import Final, NoReturn

from deploy import arguments

ROOT: Final = Path(__file__).resolve().parent.parent
VENV: Final = ROOT / ".venv"
PYTHON: Final = VENV / "bin" / "python"
# Wheels only, but for one whose wheels want a newer C library than Debian 12 has.
_WHEELS: Final = ("--only-binary", ":all:", "--no-binary", "phreeqpython")


class NoEnvironment(RuntimeError):  # noqa: N818 - a sentence for a person
    """One sentence: what is missing, and the mend."""


def main(words: Sequence[str]) -> None:
    try:
        if words[0] == "demo":
            _open_demo(words[1:])
        prepare("dev")
        _continue_with("deploy.checks", words[1:])
    except NoEnvironment as refusal:
        sys.exit(str(refusal))
    except KeyboardInterrupt:
        sys.exit("Stopped before it was done: run it again to go on.")


def prepare(name: str) -> None:
    """Have everything in ``deploy/<name>.lock`` installed, at the price of a glance if it is.

    Raises:
        NoEnvironment: no venv module, or the installation failed.
    """
    lock = ROOT / "deploy" / f"{name}.lock"
    with lock.open() as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        if not _is_sound():
            _make()
        if not any(_is_stamped(wider) for wider in ("dev", name)):
            _install(lock)
            _stamp(name).write_text(_mark(name))


def _open_demo(words: Sequence[str]) -> NoReturn:
    # Before any work: whoever must free a port should not first wait for an installation.
    if sentence := arguments.hindrance(arguments.parse(words)):
        raise NoEnvironment(sentence)
    prepare("base")
    _continue_with("deploy.serve", words)


def _continue_with(module: str, words: Sequence[str]) -> NoReturn:
    sys.stdout.flush()
    os.execv(PYTHON, [str(PYTHON), "-m", module, *words])  # noqa: S606 - no shell is wanted: signals must reach it


def _uv() -> str | None:
    return shutil.which("uv")


def _is_sound() -> bool:
    question = "import sys; sys.exit(sys.version_info < (3, 11))"
    if not _uv():
        question = f"import pip; {question}"
    with suppress(OSError):
        return _run([str(PYTHON), "-c", question], quiet=True) == 0
    return False


def _make() -> None:
    print("Making the virtual environment .venv …", flush=True)
    shutil.rmtree(VENV, ignore_errors=True)
    if (uv := _uv()) is not None:
        made = _run([uv, "venv", "-q", "--python", sys.executable, str(VENV)])
    elif find_spec("venv") and find_spec("ensurepip"):
        made = _run([sys.executable, "-m", "venv", str(VENV)])
    else:
        package = f"python3.{sys.version_info.minor}-venv"
        raise NoEnvironment(
            f"This Python has no venv module: install it, on Debian with: apt install {package}"
        )
    if made != 0:
        raise NoEnvironment(f"{VENV} could not be made: see the lines above.")


def _install(lock: Path) -> None:
    count = sum("==" in line for line in lock.read_text().splitlines())
    print(f"Installing {count} packages from {lock.relative_to(ROOT)} …", flush=True)
    pinned = ["--require-hashes", *_WHEELS, "-r", str(lock)]
    if (uv := _uv()) is not None:
        done = _run([uv, "pip", "install", "-q", "--python", str(PYTHON), *pinned])
    else:
        quiet = ["-qq", "--disable-pip-version-check", "--no-input"]
        done = _run([str(PYTHON), "-m", "pip", "install", *quiet, *pinned])
    if done != 0:
        raise NoEnvironment("The packages could not be installed: see the lines above, then retry.")


def _run(command: Sequence[str], *, quiet: bool = False) -> int:
    silence = subprocess.DEVNULL if quiet else None
    return subprocess.run(command, check=False, stderr=silence, stdin=subprocess.DEVNULL).returncode


def _stamp(name: str) -> Path:
    return VENV / f"{name}.installed"


def _mark(name: str) -> str:
    return hashlib.sha256((ROOT / "deploy" / f"{name}.lock").read_bytes()).hexdigest()


def _is_stamped(name: str) -> bool:
    stamp = _stamp(name)
    return stamp.exists() and stamp.read_text() == _mark(name)


if __name__ == "__main__":
    main(sys.argv[1:])
