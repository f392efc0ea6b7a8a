from http import HTTPStatus

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from facility.rules.codes import check, normalise, printed
from facility.views.answers import see_other
from facility.views.signed import SignedRequest
from tanks.models import Label, Vessel


@login_required
@never_cache
@require_GET
def scan(request: SignedRequest, code: str) -> HttpResponse:
    """Lead from a label to its tank; a scan records nothing."""
    known = normalise(code)
    if not check(known):
        return _no(request, code[:20], "mistyped", HTTPStatus.NOT_FOUND)
    mine = Label.objects.filter(vessel__in=Vessel.objects.open_to(request.user))
    label = mine.filter(pk=known).select_related("vessel__site").first()
    if label is None:
        return _no(request, printed(known), "unknown", HTTPStatus.NOT_FOUND)
    if label.retired_at is not None:
        return _no(request, printed(known), "retired", HTTPStatus.GONE, label=label)
    return see_other(reverse("tanks:tank", args=[label.vessel_id]))


@login_required
@require_GET
def find(request: SignedRequest) -> HttpResponse:
    """Type a code when the camera fails."""
    code = request.GET.get("code", "").strip()
    if code:
        return see_other(reverse("tanks:scan", args=[normalise(code) or "-"]))
    return render(request, "tanks/scan.html", {"why": ""})


def _no(
    request: SignedRequest, code: str, why: str, status: HTTPStatus, *, label: Label | None = None
) -> HttpResponse:
    facts = {"code": code, "why": why, "label": label}
    return render(request, "tanks/scan.html", facts, status=status)
