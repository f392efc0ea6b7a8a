"""The house's authority and this server's certificate, as they are kept in the checkout."""

import os
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from deploy.addresses import ROOT
from deploy.certificates import Pair, answers_to, new_authority, new_server, read_pair
from deploy.network import Address, own_addresses, own_names
from deploy.place import KEPT

# Nobody should meet the last day of a certificate; an authority must outlive what it signs.
_RENEW_BEFORE: Final = timedelta(days=30)
_LONGER_THAN_SERVER: Final = timedelta(days=400)


class NotCertified(RuntimeError):  # noqa: N818 - a sentence for a person
    """One sentence: what is wrong with what is kept, and the mend."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Certified:
    """Where it is kept. Keys are readable by their owner alone."""

    folder: Path = ROOT / KEPT / "https"

    @property
    def authority_file(self) -> Path:
        return self.folder / "authority.pem"

    @property
    def server_file(self) -> Path:
        return self.folder / "server.pem"

    @property
    def server_key_file(self) -> Path:
        return self.folder / "server-key.pem"

    @property
    def authority_key_file(self) -> Path:
        return self.folder / "authority-key.pem"

    def authority(self) -> Pair | None:
        return _kept(self.authority_file, self.authority_key_file)

    def server(self) -> Pair | None:
        return _kept(self.server_file, self.server_key_file)

    def certify(
        self, *, names: Iterable[str] = (), addresses: Iterable[Address] = (), at: datetime
    ) -> Pair:
        """Make a new server certificate, and an authority unless a lasting one is kept.

        For the names and addresses given besides this machine's own.

        Raises:
            NotCertified: what is kept cannot be read.
        """
        self.folder.mkdir(parents=True, exist_ok=True)
        authority = self.authority()
        if authority is None or _ends_within(_LONGER_THAN_SERVER, authority, at=at):
            authority = new_authority(house=socket.gethostname(), at=at)
            _keep(authority, self.authority_file, self.authority_key_file)
        server = new_server(
            authority,
            names=dict.fromkeys((*names, *own_names())),
            addresses=dict.fromkeys((*addresses, *own_addresses())),
            at=at,
        )
        _keep(server, self.server_file, self.server_key_file)
        return server

    def lasting(self, *, addresses: Iterable[Address] = (), at: datetime) -> Pair:
        """The server's certificate; a new one if it ends soon or lacks an address.

        Raises:
            NotCertified: what is kept cannot be read.
        """
        server, needed = self.server(), {*addresses, *own_addresses()}
        if server is None or self.authority() is None:
            return self.certify(addresses=needed, at=at)
        names, known = answers_to(server.certificate)
        if needed <= {*known} and not _ends_within(_RENEW_BEFORE, server, at=at):
            return server
        return self.certify(names=names, addresses=(*known, *needed), at=at)


def _kept(certificate_file: Path, key_file: Path) -> Pair | None:
    if not certificate_file.exists() or not key_file.exists():
        return None
    try:
        return read_pair(
            certificate_pem=certificate_file.read_bytes(), key_pem=key_file.read_bytes()
        )
    except (OSError, ValueError) as error:
        raise NotCertified(
            f"{certificate_file} and its key cannot be used: {error} "
            f"Remove {certificate_file.parent} and certify again; phones must then trust it anew."
        ) from error


def _ends_within(span: timedelta, pair: Pair, *, at: datetime) -> bool:
    return pair.certificate.not_valid_after_utc < at + span


def _keep(pair: Pair, certificate_file: Path, key_file: Path) -> None:
    _write(key_file, pair.key_pem(), mode=0o600)
    _write(certificate_file, pair.certificate_pem(), mode=0o644)


def _write(path: Path, content: bytes, *, mode: int) -> None:
    """Never a moment in which others could read a key, or half a file is in place."""
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    beside.unlink(missing_ok=True)
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
