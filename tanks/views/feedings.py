from decimal import Decimal
from http import HTTPStatus
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from chemistry.domain import OutOfRange
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from tanks.commands import changes as commands
from tanks.forms.changes import FeedingSheet
from tanks.models import Vessel
from tanks.queries.feeds import FeedToday, feed_today
from tanks.queries.waters import Water, water_of
from tanks.rules.meals import against_certified, becomes
from tanks.views.found import vessel_of


@login_required
@require_http_methods(["GET", "POST"])
def log_feeding(request: SignedRequest, vessel_id: UUID) -> HttpResponse:
    """``preview`` shows what the meal becomes and keeps nothing."""
    vessel = vessel_of(request, vessel_id)
    require(request, "tanks.log-feeding", vessel.site)
    water = water_of(vessel, at=timezone.now())
    today = feed_today(water)
    sheet = FeedingSheet(request.POST or None, initial={"protein": _protein(today)})
    is_look = "preview" in request.POST
    meaning = _meaning(sheet, water, today)
    if sheet.is_valid() and not is_look:
        command = sheet.command(vessel)
        if carry_out(commands.log_feeding, command, request=request, on=sheet):
            _say(request, vessel, meaning)
            return see_other(reverse("tanks:tank", args=[vessel.pk]))
    if is_look and "HX-Request" in request.headers:
        return render(request, "tanks/_meal.html", {"meaning": meaning})
    status = HTTPStatus.OK if is_look and sheet.is_valid() else status_of(is_bound=sheet.is_bound)
    facts = {"form": sheet, "vessel": vessel, "water": water, "today": today, "meaning": meaning}
    return render(request, "tanks/log_feeding.html", facts, status=status)


def _protein(today: FeedToday) -> Decimal | None:
    """The protein of the feed given last today, or of the certified one."""
    share = today.feedings[0].protein_share if today.feedings else None
    if share is None and today.certified:
        share = today.certified.certificate.protein_share
    return None if share is None else (share * 100).normalize()


def _meaning(sheet: FeedingSheet, water: Water, today: FeedToday) -> tuple[str, ...]:
    """What the meal becomes, then a warning where it is more than was proven."""
    if not sheet.is_bound or not sheet.is_valid() or water.litres is None:
        return ()
    grams = sheet.cleaned_data["grams"]
    share = sheet.cleaned_data["protein"] / 100
    most = today.certified_protein_g
    try:
        said = becomes(grams=float(grams), protein_share=float(share), volume_l=water.litres)
    except OutOfRange as error:
        return (str(error),)
    warned = against_certified(
        protein_g=float(grams * share),
        fed_protein_g=float(today.protein_g),
        certified_protein_g=None if most is None else float(most),
    )
    return (said, *warned)


def _say(request: SignedRequest, vessel: Vessel, meaning: tuple[str, ...]) -> None:
    messages.success(request, f"Feed of {vessel.code} recorded.", extra_tags="done")
    for sentence in meaning[1:]:
        messages.warning(request, sentence, extra_tags="due")
