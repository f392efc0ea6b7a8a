"""A shared phone passes from hand to hand."""

from http import HTTPStatus
from typing import Any

from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render, resolve_url
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from facility.commands.handsets import check_pin
from facility.forms.handsets import HandsSheet
from facility.models import Handset, Person
from facility.queries.handsets import COOKIE, hands_in, hands_token, handset_in
from facility.refusals import Refusal
from facility.views.answers import onward, see_other
from facility.views.handsets import keep_token
from facility.views.refusals import show


@never_cache
@sensitive_post_parameters("pin", "token")
@require_http_methods(["GET", "POST"])
def change_hands(request: HttpRequest) -> HttpResponse:
    """Take the phone over with a PIN. A phone that is nobody's leads to signing in.

    Asked for JSON, tell who holds it and the token that marks their entries.
    """
    handset = handset_in(request.COOKIES)
    if handset is None:
        return see_other(resolve_url("facility:sign-in"))
    if request.method == "GET":
        return _shown(request, handset)
    sheet = HandsSheet(request.POST, handset=handset)
    if not sheet.is_valid() or not _is_theirs(sheet, handset):
        return _refused(request, sheet)
    login(request, sheet.cleaned_data["person"], backend=_BACKEND)
    answer = _held(request, handset) if _asks_json(request) else see_other(onward(request))
    keep_token(answer, request.COOKIES[COOKIE])
    return answer


_BACKEND = "django.contrib.auth.backends.ModelBackend"


def _is_theirs(sheet: HandsSheet, handset: Handset) -> bool:
    """By the PIN, or by a token that the phone opened with it; else say so on the sheet."""
    person = sheet.cleaned_data["person"]
    if (token := sheet.cleaned_data["token"]) and hands_in(handset, token) == person:
        return True
    try:
        check_pin(person, sheet.cleaned_data["pin"], on=handset)
    except Refusal as refusal:
        show(refusal, on=sheet)
        return False
    return True


def _shown(request: HttpRequest, handset: Handset) -> HttpResponse:
    if _asks_json(request):
        return _held(request, handset)
    return render(request, "facility/hands.html", {"form": HandsSheet(handset=handset)})


def _held(request: HttpRequest, handset: Handset) -> HttpResponse:
    person = request.user
    return JsonResponse(_hands(handset, person) if isinstance(person, Person) else {})


def _hands(handset: Handset, person: Person) -> dict[str, Any]:
    return {
        "person_id": str(person.pk),
        "name": person.full_name,
        "initials": person.initials,
        "token": hands_token(handset, person),
    }


def _refused(request: HttpRequest, sheet: HandsSheet) -> HttpResponse:
    status = HTTPStatus.UNPROCESSABLE_ENTITY
    if _asks_json(request):
        says = [str(sentence) for told in sheet.errors.values() for sentence in told]
        return JsonResponse({"says": " ".join(says)}, status=status)
    return render(request, "facility/hands.html", {"form": sheet}, status=status)


def _asks_json(request: HttpRequest) -> bool:
    return request.accepts("application/json") and not request.accepts("text/html")
