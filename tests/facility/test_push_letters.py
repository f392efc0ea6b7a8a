"""What goes to a push server: only the phone can read it, and the house signs for itself.

The reader below is written from RFC 8188 and RFC 8291 and first checked against the example of
RFC 8291, section 5.
"""

import json
import struct
from base64 import urlsafe_b64decode, urlsafe_b64encode
from pathlib import Path
from typing import Final

import jwt
import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from django.conf import LazySettings

from facility.commands import letters, push_keys
from facility.commands.channels import add_channel
from facility.commands.posting import Letter, NotDelivered, post
from facility.commands.sending import send_next
from tests.cast import NOON, House
from tests.facility.alerting import a_sign, raised
from tests.facility.calling import an_address

_PRIVATE: Final = "q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"
_AUTH: Final = "BTBZMqHH6r4Tts7J_aSIgg"
_EXAMPLE: Final = (
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIg"
    "Dll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVB"
    "St2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN"
)


def plain(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


def coded(raw: bytes) -> str:
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def point(key: ec.EllipticCurvePublicKey) -> bytes:
    return key.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def read(body: bytes, *, key: ec.EllipticCurvePrivateKey, auth: bytes) -> bytes:
    """What the phone reads; AES-GCM refuses a body that was changed on its way."""
    salt, (_, length) = body[:16], struct.unpack("!LB", body[16:21])
    sender, sealed = body[21 : 21 + length], body[21 + length :]
    shared = key.exchange(
        ec.ECDH(), ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), sender)
    )
    told = b"WebPush: info\x00" + point(key.public_key()) + sender
    ikm = _derived(shared, salt=auth, told=told, length=32)
    content = _derived(ikm, salt=salt, told=b"Content-Encoding: aes128gcm\x00", length=16)
    nonce = _derived(ikm, salt=salt, told=b"Content-Encoding: nonce\x00", length=12)
    return AESGCM(content).decrypt(nonce, sealed, None).rstrip(b"\x00").removesuffix(b"\x02")


def _derived(secret: bytes, *, salt: bytes, told: bytes, length: int) -> bytes:
    return HKDF(algorithm=SHA256(), length=length, salt=salt, info=told).derive(secret)


def test_the_reader_reads_the_example_of_the_standard() -> None:
    key = ec.derive_private_key(int.from_bytes(plain(_PRIVATE)), ec.SECP256R1())

    told = read(plain(_EXAMPLE), key=key, auth=plain(_AUTH))

    assert told == b"When I grow up, I want to be a watermelon"


@pytest.fixture
def posted(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, settings: LazySettings) -> list[Letter]:
    """What would be posted; the house's key is made in a folder of this test."""
    sent: list[Letter] = []
    monkeypatch.setattr(letters, "post", sent.append)
    settings.VAPID_FILE = tmp_path / "kept" / "push.pem"
    push_keys.private_key.cache_clear()
    push_keys.public_key.cache_clear()
    return sent


def test_the_phone_reads_the_alert_and_the_push_server_sees_who_sends(
    house: House, posted: list[Letter]
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    phone = an_address(
        house,
        endpoint="https://push.example.org/send/1",
        p256dh=coded(point(key.public_key())),
        auth=_AUTH,
    )
    add_channel(phone, by=house.mo, at=NOON)
    alert = raised(house, a_sign(level=1))

    notice = send_next(at=NOON)

    assert notice is not None
    assert notice.delivered_at == NOON
    (letter,) = posted
    told = json.loads(read(letter.body, key=key, auth=plain(_AUTH)))
    assert told["title"] == "Act now: A-01"
    assert told["url"] == f"/alerts/{alert.pk}/"
    assert told["id"] == str(notice.pk)
    assert b"A-01" not in letter.body
    assert letter.headers["content-encoding"] == "aes128gcm"
    assert int(letter.headers["ttl"]) > 0
    _require_signed(letter)


def _require_signed(letter: Letter) -> None:
    """RFC 8292: a token signed with ES256 by the key that stands beside it."""
    token, _, public = letter.headers["authorization"].removeprefix("vapid t=").partition(", k=")
    key = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), plain(public))
    claims = jwt.decode(token, key, algorithms=["ES256"], audience="https://push.example.org")
    assert claims["sub"].startswith("mailto:")
    assert public == push_keys.application_server_key()


def test_the_houses_key_is_made_once_and_for_its_own_eyes(
    posted: list[Letter], tmp_path: Path
) -> None:
    first = push_keys.application_server_key()
    push_keys.private_key.cache_clear()

    (kept,) = (tmp_path / "kept").iterdir()

    assert push_keys.application_server_key() == first
    assert kept.stat().st_mode & 0o777 == 0o600
    assert len(plain(first)) == 65


@pytest.mark.parametrize("url", ["https://127.0.0.1:1/", "https://10.0.0.8/", "https://[::1]/"])
def test_no_push_server_lies_on_a_private_network(url: str) -> None:
    with pytest.raises(NotDelivered, match="private network") as refusal:
        post(Letter(url=url, body=b"", headers={}, may_be_near=False))

    assert refusal.value.is_final
