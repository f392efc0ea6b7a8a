"""Where one pair of servers lives, and under which account."""

from dataclasses import dataclass
from pathlib import Path

from deploy import account
from deploy.account import Account
from deploy.addresses import socket_folder
from deploy.binaries import ServersUnavailable

KEPT = ".penstock"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    home: Path
    sockets: Path
    account: Account
    durable: bool

    def prepare(self) -> None:
        """Make the folders.

        Raises:
            ServersUnavailable: a folder belongs to someone else.
        """
        try:
            self.home.mkdir(parents=True, exist_ok=True)
            self.account.own(self.sockets)
        except PermissionError as error:
            raise ServersUnavailable(
                f"{error.filename} belongs to someone else: work as that person, or remove it."
            ) from error


def of_checkout(root: Path) -> Place:
    """The lasting place: in the checkout, or under /var/lib if the account cannot reach there."""
    home = root / KEPT
    runner = account.for_files_in(home / "postgres")
    sockets = socket_folder(root)
    reached = runner.user_id is None or runner.reaches(root)
    return Place(
        home=home if reached else Path("/var/lib") / sockets.name,
        sockets=sockets,
        account=runner,
        durable=True,
    )


def for_one_run(folder: Path) -> Place:
    """A place that is forgotten afterwards: faster, and lost in a power cut."""
    folder.chmod(0o711)
    runner = account.for_files_in(folder / "postgres")
    return Place(home=folder, sockets=folder / "sockets", account=runner, durable=False)
