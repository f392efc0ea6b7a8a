"""A photo that came with a sheet is kept beside what the sheet says."""

from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.forms import Form

from facility.commands.photos import keep_photo
from facility.rules.pictures import Unusable
from facility.views.photos import photo_command
from facility.views.signed import SignedRequest, carry_out
from tanks.models import Vessel


def pictured(request: SignedRequest, sheet: Form, vessel: Vessel) -> tuple[UUID, ...] | None:
    """Keep the sheet's photo, if it has one; None when it cannot be kept and the sheet says why."""
    file: Any = sheet.cleaned_data.get("photo")
    if not file:
        return ()
    happened_at: datetime = sheet.cleaned_data["happened_at"]
    try:
        command = photo_command(
            file,
            photo_id=uuid5(sheet.cleaned_data["id"], "photo"),
            site=vessel.site,
            about=f"tanks.vessel:{vessel.pk}",
            happened_at=happened_at,
        )
    except Unusable as error:
        sheet.add_error("photo", str(error))
        return None
    kept = carry_out(keep_photo, command, request=request, on=sheet)
    return None if kept is None else (kept.pk,)
