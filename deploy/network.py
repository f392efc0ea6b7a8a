"""What this machine is called on its own network; names of the public internet stay out."""

import ipaddress
import re
import socket
from collections.abc import Iterable, Iterator
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network
from typing import Final, TypeAlias

Address: TypeAlias = IPv4Address | IPv6Address
Network: TypeAlias = IPv4Network | IPv6Network

# Endings nobody can buy: RFC 6761 and 6762, RFC 8375, ICANN's .internal; .lan by common practice.
PRIVATE_NAMES: Final = ("local", "lan", "internal", "home.arpa", "localhost", "test")
# RFC 1918, 6598, 3927, 1122, 4193, 4291; two are for examples only (RFC 5737 and 3849).
PRIVATE_NETWORKS: Final[tuple[Network, ...]] = tuple(
    ipaddress.ip_network(each)
    for each in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "100.64.0.0/10",
        "169.254.0.0/16",
        "127.0.0.0/8",
        "192.0.2.0/24",
        "fc00::/7",
        "fe80::/10",
        "::1/128",
        "2001:db8::/32",
    )
)
_LABEL: Final = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)")
# Nothing is sent there: the system only says which of its addresses it would send from.
_PROBES: Final = ("192.0.2.1", "192.168.255.254", "10.255.255.254", "172.31.255.254", "fd00::fffe")


class NotPrivate(ValueError):  # noqa: N818 - a sentence for a person
    """One sentence naming what cannot be certified here, and the mend."""


def private_name(word: str) -> str:
    """Return a name in small letters.

    Raises:
        NotPrivate: it is no name, or one of the public internet.
    """
    name = word.strip().rstrip(".").lower()
    if not all(_LABEL.fullmatch(label) for label in name.split(".")):
        raise NotPrivate(
            f"Name “{word}”: give letters, figures and dashes, such as penstock.local."
        )
    if not any(name == ending or name.endswith(f".{ending}") for ending in PRIVATE_NAMES):
        raise NotPrivate(
            f"Name “{word}”: give one that ends in .local, .lan, .internal or .home.arpa; "
            "a name of the public internet gets its certificate from a public authority."
        )
    return name


def private_address(word: str) -> Address:
    """Read an address.

    Raises:
        NotPrivate: it is no address, or one of the public internet.
    """
    try:
        address = ipaddress.ip_address(word.strip())
    except ValueError as error:
        raise NotPrivate(f"Address “{word}”: give one such as 192.168.1.20.") from error
    if not is_private(address):
        raise NotPrivate(
            f"Address “{word}” is of the public internet: give this machine's address on your own "
            "network, such as 192.168.1.20."
        )
    return address


def is_private(address: Address) -> bool:
    return any(address in network for network in PRIVATE_NETWORKS)


def own_names() -> tuple[str, ...]:
    """This machine by the names that phones can ask for without a name server (RFC 6762)."""
    short = socket.gethostname().partition(".")[0].lower()
    called = (f"{short}.local",) if _LABEL.fullmatch(short) else ()
    return (*called, "localhost")


def own_addresses() -> tuple[Address, ...]:
    found = {*_sending_from(_PROBES), *_resolved(socket.gethostname())}
    near = {ipaddress.ip_address("127.0.0.1"), ipaddress.ip_address("::1")}
    kept = near | {each for each in found if is_private(each)}
    return tuple(sorted(kept, key=lambda each: (each.is_loopback, each.version, each)))


def _sending_from(probes: Iterable[str]) -> Iterator[Address]:
    for probe in probes:
        family = socket.AF_INET6 if ":" in probe else socket.AF_INET
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as sender:
                sender.connect((probe, 9))
                yield ipaddress.ip_address(sender.getsockname()[0].partition("%")[0])
        except OSError:
            continue


def _resolved(name: str) -> Iterator[Address]:
    try:
        found = socket.getaddrinfo(name, None)
    except OSError:
        return
    for *_, where in found:
        yield ipaddress.ip_address(str(where[0]).partition("%")[0])
