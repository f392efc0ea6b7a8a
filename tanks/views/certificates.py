"""Certify the proven feed, as a second person."""

from typing import Final
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from facility.rules.wording import written
from facility.views.answers import see_other, status_of
from facility.views.signed import SignedRequest, carry_out, require
from facility.views.signing import is_signed
from tanks.commands import certificates as commands
from tanks.forms.certificates import CertificateSheet
from tanks.queries.cycles import course
from tanks.queries.signing import Signable, signable
from tanks.views.found import cycle_of

_PASSES: Final = {1: "the pass", 2: "both passes"}


@login_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def sign_certificate(request: SignedRequest, cycle_id: UUID) -> HttpResponse:
    """Show what is signed for; a signature is a name, a moment and its meaning."""
    cycle = cycle_of(request, cycle_id)
    require(request, "tanks.sign-certificate", cycle.vessel.site)
    told = course(cycle, at=timezone.now())
    ready = signable(told)
    sheet = _sheet(request, ready) if ready else None
    if ready and sheet and sheet.is_bound and is_signed(sheet, by=request.user):
        command = sheet.command(cycle, pass_ids=ready.pass_ids)
        if carry_out(commands.sign_certificate, command, request=request, on=sheet):
            return see_other(reverse("tanks:cycle", args=[cycle.pk]) + "#proof")
    facts = {
        "form": sheet,
        "told": told,
        "cycle": cycle,
        "ready": ready,
        "is_reader": ready is not None and request.user.pk in ready.readers,
    }
    status = status_of(is_bound=sheet is not None and sheet.is_bound)
    return render(request, "tanks/sign_certificate.html", facts, status=status)


def _sheet(request: SignedRequest, ready: Signable) -> CertificateSheet:
    passes = _PASSES.get(len(ready.passes), f"all {len(ready.passes)} passes")
    meaning = (
        f"I have read {passes} and certify {written(ready.feed_g_per_day)} g of feed a day at "
        f"{ready.protein_share * 100:.3g} % protein for this water."
    )
    return CertificateSheet(request.POST or None, signer=request.user, meaning=meaning)
