"""Nets, siphons, buckets and feed batches: where each was, and whether it is clean."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render, resolve_url
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods

from facility.models import Site
from facility.queries import people
from facility.views.answers import see_other, sheet_page, status_of
from facility.views.signed import SignedRequest, carry_out, require
from quarantine.commands import kit_uses
from quarantine.commands import kits as commands
from quarantine.forms.kits import KitCleaningSheet, KitSheet, KitUseSheet, RetireKitSheet
from quarantine.models import Kit
from quarantine.queries.kits import kits_at, story_of
from tanks.views.found import site_of


@login_required
@require_GET
def every(request: SignedRequest) -> HttpResponse:
    """Every kit in use, and where it was last."""
    sites = Site.objects.open_to(request.user).order_by("name", "pk")
    places = [
        {"site": site, "may": people.deeds_of(request.user, site), "kits": kits_at(site)}
        for site in sites
    ]
    return render(request, "quarantine/kits.html", {"places": places, "now": timezone.now()})


@login_required
@never_cache
@require_GET
def show(request: SignedRequest, kit_id: UUID) -> HttpResponse:
    """Where a scanned label leads: used here, or cleaned?"""
    kit = _kit(request, kit_id)
    facts = {
        "kit": kit,
        "label": kit.labels.filter(retired_at=None).first(),
        "story": story_of(kit),
        "may": people.deeds_of(request.user, kit.site),
        "now": timezone.now(),
        "is_feed": kit.kind == Kit.Kind.FEED_BATCH,
    }
    return render(request, "quarantine/kit.html", facts)


@login_required
@require_http_methods(["GET", "POST"])
def open_kit(request: SignedRequest, site_id: UUID) -> HttpResponse:
    site = site_of(request, site_id)
    require(request, "quarantine.open-kit", site)
    sheet = KitSheet(request.POST or None, site=site)
    if sheet.is_valid() and (
        kit := carry_out(commands.open_kit, sheet.command(), request=request, on=sheet)
    ):
        return see_other(resolve_url("quarantine:kit", kit.pk))
    return sheet_page(
        request,
        sheet,
        title="Put a kit into use",
        sub="A net, a siphon, a bucket, or a set kept together; or a batch of feed.",
        verb="Put it into use",
        cancel=resolve_url("quarantine:kits"),
    )


@login_required
@require_http_methods(["GET", "POST"])
def retire_kit(request: SignedRequest, kit_id: UUID) -> HttpResponse:
    kit = _kit(request, kit_id)
    require(request, "quarantine.retire-kit", kit.site)
    sheet = RetireKitSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        commands.retire_kit, sheet.command(kit), request=request, on=sheet
    ):
        return see_other(resolve_url("quarantine:kits"))
    title, sub = f"Take {kit.code} out of use", "Its label leads nowhere then; its story stays."
    return _sheet(request, sheet, kit, title=title, sub=sub, verb="Take it out of use")


@login_required
@require_http_methods(["GET", "POST"])
def use_kit(request: SignedRequest, kit_id: UUID) -> HttpResponse:
    """``?tank=`` is the tank one stands at."""
    kit = _kit(request, kit_id)
    require(request, "quarantine.use-kit", kit.site)
    sheet = KitUseSheet(request.POST or None, kit=kit, initial={"vessel": request.GET.get("tank")})
    if sheet.is_valid() and (
        use := carry_out(sheet.giving(kit_uses.use_kit), sheet.command(), request=request, on=sheet)
    ):
        messages.success(request, f"{kit.code} used in {use.vessel.code}.", extra_tags="done")
        return see_other(resolve_url("quarantine:kit", kit.pk))
    facts = {"kit": kit, "form": sheet, "story": story_of(kit), "now": timezone.now()}
    status = status_of(is_bound=sheet.is_bound)
    return render(request, "quarantine/use_kit.html", facts, status=status)


@login_required
@require_http_methods(["GET", "POST"])
def clean_kit(request: SignedRequest, kit_id: UUID) -> HttpResponse:
    kit = _kit(request, kit_id)
    require(request, "quarantine.clean-kit", kit.site)
    sheet = KitCleaningSheet(request.POST or None)
    if sheet.is_valid() and carry_out(
        kit_uses.clean_kit, sheet.command(kit), request=request, on=sheet
    ):
        messages.success(request, f"{kit.code} is cleaned.", extra_tags="done")
        return see_other(resolve_url("quarantine:kit", kit.pk))
    sub = (
        "Rinse dirt off first: what is left uses the disinfectant up. A rinse alone keeps nothing "
        "from the next tank. Never bleach with acid or ammonia."
    )
    return _sheet(request, sheet, kit, title=f"Clean {kit.code}", sub=sub, verb="Record it")


def _kit(request: SignedRequest, kit_id: UUID) -> Kit:
    known = Kit.objects.open_to(request.user).select_related("site", "area")
    kit: Kit = get_object_or_404(known, pk=kit_id)
    timezone.activate(kit.site.zone)
    return kit


def _sheet(request: SignedRequest, sheet: Form, kit: Kit, **words: Any) -> HttpResponse:
    return sheet_page(request, sheet, cancel=resolve_url("quarantine:kit", kit.pk), **words)
