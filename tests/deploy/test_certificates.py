"""What a phone asks of a certificate before it trusts a server, and what it must never trust.

RFC 5280 as OpenSSL and the verifier of cryptography apply it; "Requirements for trusted
certificates in iOS 13 and macOS 10.15", Apple support 103769.
"""

import ipaddress
import shutil
import stat
import subprocess
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.x509.oid import ExtendedKeyUsageOID
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from deploy.certificates import Pair, answers_to, fingerprint, new_authority, new_server, read_pair
from deploy.certified import Certified, NotCertified
from deploy.network import Address, NotPrivate, private_address, private_name

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
SHOP = ipaddress.ip_address("192.168.1.20")


@pytest.fixture(scope="module")
def authority() -> Pair:
    return new_authority(house="larkmoor-backroom", at=NOON)


def server_of(authority: Pair, *names: str, addresses: tuple[Address, ...] = ()) -> Pair:
    return new_server(authority, names=names, addresses=addresses, at=NOON)


def is_trusted(
    server: Pair, by: Pair, *, subject: x509.DNSName | x509.IPAddress, at: datetime = NOON
) -> bool:
    store = Store([by.certificate])
    verifier = PolicyBuilder().store(store).time(at).build_server_verifier(subject)
    try:
        verifier.verify(server.certificate, [])
    except VerificationError:
        return False
    return True


def test_a_phone_that_trusts_the_authority_trusts_the_server_by_name_and_address(
    authority: Pair,
) -> None:
    server = server_of(authority, "penstock.local", addresses=(SHOP,))

    assert is_trusted(server, authority, subject=x509.DNSName("penstock.local"))
    assert is_trusted(server, authority, subject=x509.IPAddress(SHOP))
    assert not is_trusted(server, authority, subject=x509.DNSName("other.local"))
    stranger = new_authority(house="elsewhere", at=NOON)
    assert not is_trusted(server, stranger, subject=x509.DNSName("penstock.local"))


@pytest.mark.parametrize("days", [-1, 397, 3650])
def test_it_is_trusted_neither_before_its_day_nor_after(authority: Pair, days: int) -> None:
    server = server_of(authority, "penstock.local")
    at = NOON + timedelta(days=days)

    assert not is_trusted(server, authority, subject=x509.DNSName("penstock.local"), at=at)


def test_whoever_has_the_authority_s_key_still_cannot_pass_for_a_bank(authority: Pair) -> None:
    public = ipaddress.ip_address("8.8.8.8")
    bank = server_of(authority, "bank.example", addresses=(public,))

    assert not is_trusted(bank, authority, subject=x509.DNSName("bank.example"))
    assert not is_trusted(bank, authority, subject=x509.IPAddress(public))


def test_a_server_s_certificate_cannot_sign_others(authority: Pair) -> None:
    server = server_of(authority, "penstock.local")
    forged = server_of(server, "till.local")

    store = Store([authority.certificate])
    verifier = PolicyBuilder().store(store).time(NOON)
    with pytest.raises(VerificationError):
        verifier.build_server_verifier(x509.DNSName("till.local")).verify(
            forged.certificate, [server.certificate]
        )


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl is not on the PATH")
def test_openssl_is_of_the_same_mind(authority: Pair, tmp_path: Path) -> None:
    (tmp_path / "authority").write_bytes(authority.certificate_pem())

    def verdict(server: Pair) -> int:
        (tmp_path / "server").write_bytes(server.certificate_pem())
        at = str(int(NOON.timestamp()))
        words = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-attime", at]
        files = ["-CAfile", str(tmp_path / "authority"), str(tmp_path / "server")]
        return subprocess.run([*words, *files], check=False, capture_output=True).returncode

    assert verdict(server_of(authority, "penstock.local", addresses=(SHOP,))) == 0
    assert verdict(server_of(authority, "bank.example")) != 0


def test_a_server_certificate_is_what_phones_require(authority: Pair) -> None:
    certificate = server_of(authority, "penstock.local", addresses=(SHOP,)).certificate

    lasts = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    assert lasts + timedelta(seconds=1) == timedelta(days=397) < timedelta(days=825)
    purpose = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert ExtendedKeyUsageOID.SERVER_AUTH in purpose
    assert isinstance(certificate.signature_hash_algorithm, hashes.SHA256)
    assert answers_to(certificate) == (["penstock.local"], [SHOP])


def test_an_authority_is_what_an_iphone_lets_one_switch_on(authority: Pair) -> None:
    extensions = authority.certificate.extensions
    basic = extensions.get_extension_for_class(x509.BasicConstraints)

    assert basic.critical
    assert (basic.value.ca, basic.value.path_length) == (True, 0)
    assert extensions.get_extension_for_class(x509.NameConstraints).critical


def test_the_fingerprint_is_the_one_openssl_shows(authority: Pair, tmp_path: Path) -> None:
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not on the PATH")
    (tmp_path / "authority").write_bytes(authority.certificate_pem())
    asked = [
        "openssl",
        "x509",
        "-noout",
        "-fingerprint",
        "-sha256",
        "-in",
        str(tmp_path / "authority"),
    ]
    shown = subprocess.run(asked, check=True, capture_output=True, text=True).stdout

    assert shown.strip().endswith(f"={fingerprint(authority.certificate)}")


@pytest.mark.parametrize(
    "word", ["bank.example", "local.example.com", "-x.local", "a b.local", "", "x..local"]
)
def test_a_name_that_is_not_of_the_house_is_refused(word: str) -> None:
    with pytest.raises(NotPrivate, match="Name"):
        private_name(word)


@pytest.mark.parametrize("word", ["8.8.8.8", "172.32.0.1", "2606:4700::1", "192.168.1", "penstock"])
def test_an_address_that_is_not_of_the_house_is_refused(word: str) -> None:
    with pytest.raises(NotPrivate, match="Address"):
        private_address(word)


def test_names_and_addresses_of_the_house_are_read() -> None:
    assert private_name(" Penstock.LOCAL. ") == "penstock.local"
    assert private_address("192.168.1.20") == SHOP
    assert private_address("fd12::3") == ipaddress.ip_address("fd12::3")


def test_certifying_again_keeps_the_authority_so_phones_need_nothing(tmp_path: Path) -> None:
    kept = Certified(folder=tmp_path / "https")
    first = kept.certify(names=["penstock.local"], addresses=[SHOP], at=NOON)
    trusted = kept.authority()
    assert trusted is not None

    second = kept.certify(names=["fish.local"], at=NOON + timedelta(days=300))

    assert second.certificate != first.certificate
    again = kept.authority()
    assert again is not None
    assert again.certificate == trusted.certificate
    later = NOON + timedelta(days=600)
    assert is_trusted(second, trusted, subject=x509.DNSName("fish.local"), at=later)


def test_keys_are_their_owner_s_alone(tmp_path: Path) -> None:
    kept = Certified(folder=tmp_path)
    kept.certify(at=NOON)

    for path in (kept.authority_key_file, kept.server_key_file):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "authority-key.pem",
        "authority.pem",
        "server-key.pem",
        "server.pem",
    ]


def test_it_is_renewed_before_its_last_month_and_when_the_address_changes(tmp_path: Path) -> None:
    kept = Certified(folder=tmp_path)
    first = kept.lasting(addresses=[SHOP], at=NOON).certificate
    moved = ipaddress.ip_address("10.0.0.7")

    assert kept.lasting(addresses=[SHOP], at=NOON + timedelta(days=360)).certificate == first
    after = kept.lasting(addresses=[moved], at=NOON + timedelta(days=360)).certificate
    assert {SHOP, moved} <= {*answers_to(after)[1]}
    late = NOON + timedelta(days=360 + 397 - 29)
    assert kept.lasting(at=late).certificate.not_valid_before_utc > late - timedelta(days=1)


def test_an_authority_that_would_end_first_is_made_anew(tmp_path: Path) -> None:
    kept = Certified(folder=tmp_path)
    kept.certify(at=NOON)
    old = kept.authority()
    server = kept.certify(at=NOON + timedelta(days=3650 - 300))
    new = kept.authority()

    assert old is not None
    assert new is not None
    assert new.certificate != old.certificate
    assert new.certificate.not_valid_after_utc > server.certificate.not_valid_after_utc


def test_what_is_damaged_is_said_in_one_sentence(tmp_path: Path) -> None:
    kept = Certified(folder=tmp_path)
    kept.certify(at=NOON)
    kept.server_key_file.write_bytes(kept.authority_key_file.read_bytes())

    with pytest.raises(NotCertified, match="belongs to another certificate"):
        kept.server()
    with pytest.raises(ValueError, match="another certificate"):
        read_pair(
            certificate_pem=kept.server_file.read_bytes(),
            key_pem=kept.authority_key_file.read_bytes(),
        )
