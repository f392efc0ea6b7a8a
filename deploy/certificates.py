"""An authority of the house's own, and the certificate it gives this server.

X.509 as in RFC 5280; what phones ask of a server's certificate: Apple's requirements for trusted
certificates (SHA-2, names in the subject alternative name, server purpose, at most 825 days).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from deploy.network import PRIVATE_NAMES, PRIVATE_NETWORKS, Address

AUTHORITY_DAYS: Final = 3650
# The longest that browsers ever took from anybody after 2020 was 398 days.
SERVER_DAYS: Final = 397
# Clocks in a fish room are seldom right to the minute.
_EARLIER: Final = timedelta(hours=12)
_TICK: Final = timedelta(seconds=1)
# ub-common-name, RFC 5280 appendix A.
_LONGEST_NAME: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A certificate with its private key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    def certificate_pem(self) -> bytes:
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    def key_pem(self) -> bytes:
        return self.key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )


def read_pair(*, certificate_pem: bytes, key_pem: bytes) -> Pair:
    """Read what `Pair` wrote.

    Raises:
        ValueError: not a certificate, or not the key of this certificate.
    """
    certificate = x509.load_pem_x509_certificate(certificate_pem)
    key = serialization.load_pem_private_key(key_pem, password=None)
    if (
        not isinstance(key, ec.EllipticCurvePrivateKey)
        or key.public_key() != certificate.public_key()
    ):
        raise ValueError("The key belongs to another certificate.")
    return Pair(certificate=certificate, key=key)


def new_authority(*, house: str, at: datetime) -> Pair:
    """An authority that can speak for private names and addresses only.

    A phone that trusts it is not opened to anything else, whoever gets hold of its key.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    whom = x509.Name(
        [x509.NameAttribute(NameOID.COMMON_NAME, f"Penstock at {house}"[:_LONGEST_NAME])]
    )
    own = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    draft = (
        _draft(whom, key.public_key(), issuer=whom, at=at, days=AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(own, critical=False)
        .add_extension(_private_only(), critical=True)
    )
    return Pair(certificate=draft.sign(key, hashes.SHA256()), key=key)


def new_server(
    authority: Pair, *, names: Iterable[str], addresses: Iterable[Address], at: datetime
) -> Pair:
    """A certificate for this server, by any of its names and addresses."""
    key = ec.generate_private_key(ec.SECP256R1())
    answers_to = x509.SubjectAlternativeName(
        [*map(x509.DNSName, names), *map(x509.IPAddress, addresses)]
    )
    whom = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Penstock server")])
    signer = authority.certificate
    public = authority.key.public_key()
    draft = (
        _draft(whom, key.public_key(), issuer=signer.subject, at=at, days=SERVER_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(
            x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]),
            critical=False,
        )
        .add_extension(answers_to, critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(public),
            critical=False,
        )
        .add_extension(
            x509.SubjectKeyIdentifier.from_public_key(key.public_key()),
            critical=False,
        )
    )
    return Pair(certificate=draft.sign(authority.key, hashes.SHA256()), key=key)


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256 of the certificate in pairs of figures, as phones show it."""
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


def answers_to(certificate: x509.Certificate) -> tuple[list[str], list[Address]]:
    """The names and the addresses in a certificate."""
    extension = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName)
    listed = extension.value
    addresses = [
        each
        for each in listed.get_values_for_type(x509.IPAddress)
        if not hasattr(each, "num_addresses")
    ]
    return listed.get_values_for_type(x509.DNSName), addresses


def _draft(
    whom: x509.Name,
    public: ec.EllipticCurvePublicKey,
    *,
    issuer: x509.Name,
    at: datetime,
    days: int,
) -> x509.CertificateBuilder:
    # Both ends count (RFC 5280, 4.1.2.5), hence one second less.
    start = at - _EARLIER
    return (
        x509.CertificateBuilder()
        .subject_name(whom)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(start + timedelta(days=days) - _TICK)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _private_only() -> x509.NameConstraints:
    return x509.NameConstraints(
        permitted_subtrees=[
            *map(x509.DNSName, PRIVATE_NAMES),
            *map(x509.IPAddress, PRIVATE_NETWORKS),
        ],
        excluded_subtrees=None,
    )
