"""Keep a picture of what somebody saw."""

from base64 import b64decode
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person, Photo, Site
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.pictures import Unusable, jpeg_size
from facility.sockets.subjects import place_of


class PhotoUnusable(Refusal):
    code = "photo-unusable"
    field = "jpeg"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPhoto:
    """``jpeg`` is the picture in base64; ``about`` a subject as the ledger names it."""

    id: UUID
    site_id: UUID
    about: str
    jpeg: str
    happened_at: datetime


@transaction.atomic(durable=True)
def keep_photo(command: KeepPhoto, *, by: Person, at: datetime) -> Photo:
    """Keep the picture for good, byte for byte.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, PhotoUnusable
    """
    site = Site.objects.open_to(by).filter(pk=command.site_id).first()
    if site is None:
        raise NotFound("There is no such site.")
    people.require(by, "facility.keep-photo", site)
    take_turn(site)
    jpeg = _decoded(command.jpeg)
    digest = sha256(jpeg).hexdigest()
    said = {"site_id": site.pk, "about": command.about, "sha256": digest}
    if photo := earlier(Photo, command.id, said | {"happened_at": command.happened_at}):
        return photo
    require_past(command.happened_at, at=at)
    place = place_of(command.about)
    if place is None or place.site_id != site.pk:
        raise NotFound("There is nothing here by that name to keep a photo of.")
    return _kept(command, jpeg, site, by=by, at=at)


def _decoded(text: str) -> bytes:
    try:
        return b64decode(text, validate=True)
    except ValueError as error:
        raise PhotoUnusable("The photo did not arrive whole; take a new one.") from error


def _kept(command: KeepPhoto, jpeg: bytes, site: Site, *, by: Person, at: datetime) -> Photo:
    try:
        width_px, height_px = jpeg_size(jpeg)
    except Unusable as error:
        raise PhotoUnusable(str(error)) from error
    photo = Photo.objects.create(
        id=command.id,
        site=site,
        about=command.about,
        jpeg=jpeg,
        sha256=sha256(jpeg).hexdigest(),
        width_px=width_px,
        height_px=height_px,
        happened_at=command.happened_at,
        recorded_at=at,
        by=by,
    )
    ledger.record(
        "facility.keep-photo",
        [photo],
        about=photo,
        site=site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return photo
