"""From a label to its tank: scanned by any camera, photographed, or typed; one way for all."""

from collections.abc import Iterable
from dataclasses import dataclass
from http import HTTPStatus

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST

from facility.paper.photographed import UnreadablePhoto, codes_in
from facility.views.answers import see_other
from facility.views.signed import SignedRequest
from tanks.models import Label, Vessel
from tanks.rules.scans import Kind, Said, said_by, said_together
from tanks.sockets.labels import Labelled, labelled


@dataclass(frozen=True, slots=True, kw_only=True)
class No:
    """Why no tank was opened; ``why`` chooses the words, ``codes`` are several found at once."""

    why: str
    code: str = ""
    label: Label | Labelled | None = None
    codes: tuple[Said, ...] = ()
    sentence: str = ""
    status: HTTPStatus = HTTPStatus.NOT_FOUND


@login_required
@never_cache
@require_GET
def scan(request: SignedRequest, code: str) -> HttpResponse:
    """Lead from a label to its tank, or what else bears it; a scan records nothing."""
    said = said_by(code)
    if said.kind is not Kind.OURS:
        return _no(request, No(why=said.kind, code=said.text))
    mine = Label.objects.filter(vessel__in=Vessel.objects.open_to(request.user))
    label = mine.filter(pk=said.text).select_related("vessel__site").first()
    found = label or labelled(said.text, request.user)
    if found is None:
        return _no(request, No(why="unknown", code=said.spelled))
    if found.retired_at is not None:
        gone = No(why="retired", code=said.spelled, label=found, status=HTTPStatus.GONE)
        return _no(request, gone)
    url = found.url if isinstance(found, Labelled) else _url(found)
    return see_other(url)


@login_required
@never_cache
@require_GET
def find(request: SignedRequest) -> HttpResponse:
    """Scan inside the page, photograph, or type; what was found comes back as ``?code=``."""
    texts = [text for text in request.GET.getlist("code") if text.strip()]
    if texts:
        return _lead(request, texts)
    return render(request, "tanks/scan.html")


@login_required
@require_POST
def scan_photo(request: SignedRequest) -> HttpResponse:
    """Read the labels in a photo, which is not kept; a script is told what they say."""
    wants_json = request.accepts("application/json") and not request.accepts("text/html")
    try:
        photo = request.FILES.get("photo")
        texts = codes_in(photo) if photo else []
    except UnreadablePhoto as refusal:
        if wants_json:
            return JsonResponse({"texts": [], "says": str(refusal)})
        status = HTTPStatus.UNPROCESSABLE_ENTITY
        return _no(request, No(why="unreadable", sentence=str(refusal), status=status))
    if wants_json:
        return JsonResponse({"texts": texts, "says": ""})
    return _lead(request, texts)


def _url(label: Label) -> str:
    return reverse("tanks:tank", args=[label.vessel_id])


def _lead(request: SignedRequest, texts: Iterable[str]) -> HttpResponse:
    match said_together(texts):
        case []:
            return _no(request, No(why="nothing", status=HTTPStatus.UNPROCESSABLE_ENTITY))
        case [Said(Kind.OURS, code)]:
            return see_other(reverse("tanks:scan", args=[code]))
        case [Said(Kind.OURS, _), *_] as several:
            status = HTTPStatus.UNPROCESSABLE_ENTITY
            return _no(request, No(why="several", codes=tuple(several), status=status))
        case others:
            status = HTTPStatus.UNPROCESSABLE_ENTITY
            return _no(request, No(why=others[0].kind, code=others[0].text, status=status))


def _no(request: SignedRequest, no: No) -> HttpResponse:
    return render(request, "tanks/scan.html", {"no": no}, status=no.status)
