"""What must not last: leaving it with an owner, putting it right, and the list at closing time."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from facility.commands import loose_ends as commands
from facility.forms.loose_ends import ExtendSheet, LooseEndSheet, ReturnSheet
from facility.models import LooseEnd, Site
from facility.rules.wording import day_and_time
from facility.sockets.subjects import Place, place_of
from facility.templatetags.facility import outbox
from facility.views.answers import onward, see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require


@login_required
@require_http_methods(["GET", "POST"])
def leave_loose_end(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """``?about=`` names a tank; without it the sheet offers the areas and the site."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    timezone.activate(site.zone)
    require(request, "facility.leave-loose-end", site)
    asked = _asked(request, site)
    sheet = LooseEndSheet(
        request.POST or None,
        site=site,
        offered=_offered(site, request.GET.get("about", ""), asked),
        initial={"owner": request.user},
    )
    if sheet.is_valid() and carry_out(
        commands.leave_loose_end, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, "It is on the list until it is put right.", extra_tags="done")
        return see_other(_back(request, asked))
    return sheet_page(
        request,
        sheet,
        title="Leave something for a while",
        sub="Whatever is not as it should stay has an owner and a time to be put right. It is "
        "shown on the tank, on the round and on the closing list until then.",
        verb="Put it on the list",
        cancel=_back(request, asked),
        waits=outbox("facility.leave-loose-end"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def return_loose_end(request: SignedRequest, loose_end_id: UUID) -> HttpResponse:
    row = _row_of(request, loose_end_id)
    require(request, "facility.return-loose-end", row.site)
    sheet = ReturnSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.return_loose_end, sheet.command(row), request=request, on=sheet
    ):
        messages.success(request, f"Put right: {row.what}.", extra_tags="done")
        return see_other(_back(request, None))
    return sheet_page(
        request,
        sheet,
        title=f"Put right: {row.what}",
        sub=f"{row.why}. Left {day_and_time(row.happened_at, zone=row.site.zone)}; "
        f"{row.owner.full_name} answers for it.",
        verb="It is put right",
        cancel=_back(request, None),
        waits=outbox("facility.return-loose-end", loose_end_id=row.pk),
    )


@login_required
@require_http_methods(["GET", "POST"])
def extend_loose_end(request: SignedRequest, loose_end_id: UUID) -> HttpResponse:
    row = _row_of(request, loose_end_id)
    require(request, "facility.extend-loose-end", row.site)
    sheet = ExtendSheet(request.POST or None, row=row)
    if sheet.is_valid() and carry_out(
        commands.extend_loose_end, sheet.command(), request=request, on=sheet
    ):
        messages.success(request, f"Noted: {row.what}.", extra_tags="done")
        return see_other(_back(request, None))
    return sheet_page(
        request,
        sheet,
        title=f"It stays: {row.what}",
        sub=f"Promised by {day_and_time(row.due_back_at, zone=row.site.zone)}, "
        f"{row.owner.full_name}. What was promised before stays in the ledger.",
        verb="Record it",
        cancel=_back(request, None),
        waits=outbox("facility.extend-loose-end", loose_end_id=row.pk),
    )


def _row_of(request: SignedRequest, loose_end_id: UUID) -> LooseEnd:
    here = LooseEnd.objects.filter(site__in=Site.objects.open_to(request.user))
    row: LooseEnd = get_object_or_404(here.select_related("site", "owner"), pk=loose_end_id)
    timezone.activate(row.site.zone)
    return row


def _asked(request: SignedRequest, site: Site) -> Place | None:
    place = place_of(request.GET.get("about", ""))
    return place if place and place.site_id == site.pk else None


def _offered(site: Site, about: str, asked: Place | None) -> list[tuple[str, str]]:
    areas = site.areas.order_by("hygiene_rank", "name", "pk")
    house = [(f"facility.area:{area.pk}", area.name) for area in areas]
    first = [(about, asked.name)] if asked else []
    known = [(key, name) for key, name in house if key != about]
    return [*first, *known, (f"facility.site:{site.pk}", f"All of {site.name}")]


def _back(request: SignedRequest, asked: Place | None) -> str:
    """To the page that led here, else to the tank, else to the closing list."""
    if "next" in request.GET:
        return onward(request)
    return asked.url if asked else resolve_url("facility:closing-list")
