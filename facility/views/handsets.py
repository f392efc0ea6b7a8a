"""Phones of a site: pair one, end a pairing, set one's own PIN."""

from secrets import token_urlsafe
from typing import Final
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods

from facility.commands import handsets as commands
from facility.forms.handsets import PairSheet, PinSheet
from facility.forms.sheets import Sheet
from facility.models import Handset, Sent, Site
from facility.queries import handsets as queries
from facility.queries import people as roles
from facility.sockets.deeds import deeds
from facility.views.answers import see_other, sheet_page
from facility.views.signed import SignedRequest, carry_out, require
from facility.views.signing import is_signed

# As long as browsers keep any cookie.
_KEPT_S: Final = 400 * 24 * 60 * 60
_SHOWN: Final = 20


@login_required
@require_GET
def handsets(request: SignedRequest) -> HttpResponse:
    """The phones of the sites this person belongs to, and what came from them of late."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    facts = {
        "places": [_place(request, site) for site in sites],
        "this": queries.handset_in(request.COOKIES),
        "pin": queries.pin_of(request.user),
        "sent": [(one, _said(one)) for one in queries.sent_by(request.user)[:_SHOWN]],
    }
    return render(request, "facility/handsets.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def pair_handset(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """Pair the very phone that shows this page."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.pair-handset", site)
    sheet, token = PairSheet(request.POST or None), token_urlsafe(32)
    if sheet.is_valid() and carry_out(
        commands.pair_handset, sheet.command(site, token), request=request, on=sheet
    ):
        messages.success(request, "This phone is paired and may be shared.", extra_tags="done")
        answer = see_other(resolve_url("facility:handsets"))
        keep_token(answer, token)
        return answer
    return sheet_page(
        request,
        sheet,
        title="Pair this phone",
        sub=f"It stays at {site.name} and may pass from hand to hand. Give it the name that is "
        "written on its back.",
        verb="Pair it",
        cancel=resolve_url("facility:handsets"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def revoke_handset(request: SignedRequest, handset_id: UUID) -> HttpResponse:
    here = Handset.objects.filter(site__in=Site.objects.open_to(request.user))
    handset = get_object_or_404(here.select_related("site"), pk=handset_id)
    require(request, "facility.revoke-handset", handset.site)
    sheet = Sheet(request.POST if request.method == "POST" else None)
    command = commands.RevokeHandset(handset_id=handset.pk)
    if sheet.is_valid() and carry_out(commands.revoke_handset, command, request=request, on=sheet):
        return see_other(resolve_url("facility:handsets"))
    return sheet_page(
        request,
        sheet,
        title=f"End the pairing of {handset.name}",
        sub="Nobody can take it over with a PIN any more. What still waits on it is sent once its "
        "people sign in on it with their passwords.",
        verb="End it now",
        cancel=resolve_url("facility:handsets"),
    )


@sensitive_post_parameters("pin", "password")
@login_required
@require_http_methods(["GET", "POST"])
def set_pin(request: SignedRequest, site_id: UUID) -> HttpResponse:
    """The password is asked for: a shared phone may lie about signed in."""
    site = get_object_or_404(Site.objects.open_to(request.user), pk=site_id)
    require(request, "facility.set-pin", site)
    sheet = PinSheet(request.POST or None)
    if (
        sheet.is_bound
        and is_signed(sheet, by=request.user)
        and carry_out(commands.set_pin, sheet.command(site), request=request, on=sheet)
    ):
        messages.success(request, "Your PIN is set.", extra_tags="done")
        return see_other(resolve_url("facility:handsets"))
    return sheet_page(
        request,
        sheet,
        title="Set your PIN",
        sub="With it you take over a shared phone. It opens nothing anywhere else.",
        verb="Set it",
        cancel=resolve_url("facility:handsets"),
    )


def keep_token(answer: HttpResponse, token: str) -> None:
    """Scripts on the page never see it."""
    answer.set_cookie(
        queries.COOKIE,
        token,
        max_age=_KEPT_S,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )


def _said(one: Sent) -> str:
    return deeds[one.deed].says if one.deed in deeds else one.deed


def _place(request: SignedRequest, site: Site) -> dict[str, object]:
    skews = queries.latest_skews(site)
    return {
        "site": site,
        "handsets": [(one, skews.get(one.pk)) for one in queries.handsets_of(site)],
        "may": roles.deeds_of(request.user, site),
    }
