"""Pictures of a bag, drawn here, and the command that keeps one."""

import io
from base64 import b64encode
from datetime import datetime
from uuid import uuid4

from PIL import Image

from facility.commands.photos import KeepPhoto
from tests.cast import NOON, House


def jpeg(width_px: int = 40, height_px: int = 30, *, colour: str = "teal") -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (width_px, height_px), colour).save(file, "JPEG")
    return file.getvalue()


def photo_of(
    house: House, content: bytes | None = None, *, about: str = "", at: datetime = NOON
) -> KeepPhoto:
    return KeepPhoto(
        id=uuid4(),
        site_id=house.site.pk,
        about=about or f"facility.area:{house.area.pk}",
        jpeg=b64encode(content or jpeg()).decode(),
        happened_at=at,
    )
