"""One picture, to whoever may see its site; and one that came with a sheet, as a command."""

from base64 import b64encode
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from facility.commands.photos import KeepPhoto
from facility.models import Site
from facility.queries.photos import photos_open_to
from facility.rules.pictures import LARGEST_BYTES, kept_jpeg
from facility.views.signed import SignedRequest


@login_required
@require_GET
@cache_control(private=True, max_age=86400, immutable=True)
def photo(request: SignedRequest, photo_id: UUID) -> HttpResponse:
    row = get_object_or_404(photos_open_to(request.user), pk=photo_id)
    return HttpResponse(bytes(row.jpeg), content_type="image/jpeg")


def photo_command(
    file: "UploadedFile[Any]", *, photo_id: UUID, site: Site, about: str, happened_at: datetime
) -> KeepPhoto:
    """Make an uploaded picture small, and the command that keeps it.

    Raises:
        Unusable: the file is no picture that can be kept.
    """
    jpeg = kept_jpeg(file.read(LARGEST_BYTES + 1))
    return KeepPhoto(
        id=photo_id,
        site_id=site.pk,
        about=about,
        jpeg=b64encode(jpeg).decode(),
        happened_at=happened_at,
    )
