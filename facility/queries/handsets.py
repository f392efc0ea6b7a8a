"""Which phone this is, who may hold it, and whose hands an entry came from."""

from collections.abc import Mapping
from hashlib import sha256
from typing import Final
from uuid import UUID

from django.core import signing
from django.db.models import Exists, OuterRef, QuerySet

from facility.models import Handset, Person, Pin, Sent, Site
from facility.queries.memberships import people_at

COOKIE: Final = "handset"
_SALT: Final = "facility.hands"


def digest_of(token: str) -> str:
    """A token has 256 random bits: nothing slower than SHA-256 is needed to guard it."""
    return sha256(token.encode()).hexdigest()


def handset_in(cookies: Mapping[str, str]) -> Handset | None:
    """Return the paired handset that sent these cookies."""
    token = cookies.get(COOKIE)
    if not token:
        return None
    paired = Handset.objects.filter(token_sha256=digest_of(token), revoked_at=None)
    return paired.select_related("site").first()


def handsets_of(site: Site) -> QuerySet[Handset]:
    """Those paired now first, then the revoked ones."""
    return site.handsets.select_related("paired_by").order_by("-revoked_at", "name", "pk")


def holders_of(handset: Handset) -> QuerySet[Person]:
    """Everybody at the handset's site who has a PIN, by name."""
    return people_at(handset.site).filter(Exists(Pin.objects.filter(person=OuterRef("pk"))))


def pin_of(person: Person) -> Pin | None:
    return person.pins.order_by("-set_at", "pk").first()


def hands_token(handset: Handset, person: Person) -> str:
    """Return what shows, with the handset's cookie, that an entry was made by this person.

    It ends with the handset's pairing and with the person's PIN.
    """
    return signing.dumps(_said(handset, person), salt=_SALT)


def hands_in(handset: Handset, token: str) -> Person | None:
    """Return the person a hands token speaks for on this handset, while it holds."""
    try:
        said = signing.loads(token, salt=_SALT)
    except signing.BadSignature:
        return None
    person = Person.objects.filter(pk=said["person"], is_active=True).first()
    return person if person and said == _said(handset, person) else None


def sent_by(person: Person) -> QuerySet[Sent]:
    """What came back from phones for this person, latest first."""
    return Sent.objects.filter(by=person).select_related("handset").order_by("-received_at", "pk")


def sent_before(ids: list[UUID]) -> dict[UUID, Sent]:
    return Sent.objects.in_bulk(ids)


def latest_skews(site: Site) -> dict[UUID, float]:
    """How far, in seconds, each handset's clock was ahead when it last sent."""
    rows = Sent.objects.filter(handset__site=site).order_by("handset", "-received_at", "pk")
    return dict(rows.distinct("handset").values_list("handset", "skew_s"))


def _said(handset: Handset, person: Person) -> dict[str, str]:
    pin = pin_of(person)
    return {
        "handset": str(handset.pk),
        "person": str(person.pk),
        "pin": str(pin.pk) if pin else "",
    }
