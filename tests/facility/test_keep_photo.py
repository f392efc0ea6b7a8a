"""A photo is kept byte for byte; the ledger knows it from every other."""

import io
from base64 import b64encode
from dataclasses import replace
from datetime import timedelta
from hashlib import sha256
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.urls import reverse
from PIL import Image

from facility.commands.deliveries import InTheFuture
from facility.commands.photos import PhotoUnusable, keep_photo
from facility.models import Entry, Photo
from facility.queries.proof import first_breach
from facility.refusals import IdTaken, NotAllowed, NotFound
from facility.rules.pictures import Unusable, jpeg_size, kept_jpeg
from facility.views.photos import photo_command
from tests.cast import NOON, House
from tests.facility.picturing import jpeg, photo_of

pytestmark = pytest.mark.django_db


def test_it_is_kept_byte_for_byte_and_shown_to_the_house(house: House, client: Client) -> None:
    content = jpeg(64, 48)
    photo = keep_photo(photo_of(house, content), by=house.ana, at=NOON)
    address = reverse("facility:photo", args=[photo.pk])

    client.force_login(house.hale)
    shown = client.get(address)
    client.force_login(house.bo)
    hidden = client.get(address)

    assert (shown["Content-Type"], shown.content) == ("image/jpeg", content)
    assert hidden.status_code == 404
    assert (photo.width_px, photo.height_px) == (64, 48)
    told = Entry.objects.get(kind="facility.keep-photo").facts["rows"][0]
    assert told["jpeg"] == f"sha256:{sha256(content).hexdigest()}"


def test_a_picture_exchanged_behind_our_back_breaks_the_proof(house: House) -> None:
    photo = keep_photo(photo_of(house), by=house.ana, at=NOON)
    assert first_breach(house.site) is None

    with connection.cursor() as cursor:
        cursor.execute("SET session_replication_role = replica")
        Photo.objects.filter(pk=photo.pk).update(jpeg=jpeg(colour="red"))
        cursor.execute("SET session_replication_role = origin")

    breach = first_breach(house.site)
    assert breach is not None
    assert str(photo.pk) in breach.sentence


def test_delivered_twice_it_is_kept_once(house: House) -> None:
    command = photo_of(house)
    first = keep_photo(command, by=house.ana, at=NOON)

    assert keep_photo(command, by=house.ana, at=NOON + timedelta(hours=1)) == first
    other = replace(command, jpeg=b64encode(jpeg(colour="red")).decode())
    with pytest.raises(IdTaken):
        keep_photo(other, by=house.ana, at=NOON)
    assert Photo.objects.count() == 1


def test_what_is_no_picture_of_something_here_is_refused(house: House) -> None:
    good = photo_of(house)
    png = io.BytesIO()
    Image.new("RGB", (4, 4)).save(png, "PNG")
    for command, refusal in (
        (replace(good, jpeg="%%%"), PhotoUnusable),
        (replace(good, jpeg=b64encode(b"no picture").decode()), PhotoUnusable),
        (replace(good, jpeg=b64encode(jpeg()[:300]).decode()), PhotoUnusable),
        (replace(good, jpeg=b64encode(png.getvalue()).decode()), PhotoUnusable),
        (replace(good, about=f"facility.area:{uuid4()}"), NotFound),
        (replace(good, site_id=uuid4()), NotFound),
        (replace(good, happened_at=NOON + timedelta(hours=1)), InTheFuture),
    ):
        with pytest.raises(refusal):
            keep_photo(command, by=house.ana, at=NOON)
    with pytest.raises(NotAllowed):
        keep_photo(good, by=house.hale, at=NOON)
    with pytest.raises(NotFound):
        keep_photo(good, by=house.bo, at=NOON)


def test_an_upload_is_made_small_and_upright_and_loses_where_it_was_taken() -> None:
    file = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = 6  # taken with the phone on its side
    exif[0x8825] = {1: "N"}  # where it was
    Image.new("RGB", (3200, 2400), "navy").save(file, "JPEG", exif=exif)

    kept = kept_jpeg(file.getvalue())

    assert jpeg_size(kept) == (1200, 1600)
    assert not Image.open(io.BytesIO(kept)).getexif()
    with pytest.raises(Unusable):
        kept_jpeg(b"GIF89a")


def test_a_file_from_a_sheet_becomes_the_command(house: House) -> None:
    file = SimpleUploadedFile("bag.jpg", jpeg())
    about = f"facility.area:{house.area.pk}"
    command = photo_command(file, photo_id=uuid4(), site=house.site, about=about, happened_at=NOON)

    assert keep_photo(command, by=house.ana, at=NOON).about == about
