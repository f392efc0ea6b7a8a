from http import HTTPStatus

from django.conf import settings
from django.contrib.auth import authenticate, login, logout
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render, resolve_url
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from facility.commands import attempts
from facility.forms.session import SignInSheet
from facility.views.answers import onward, see_other


@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    if request.user.is_authenticated:
        return see_other(onward(request))
    sheet = SignInSheet(request.POST or None)
    status = _admit(request, sheet) if sheet.is_bound else HTTPStatus.OK
    if status == HTTPStatus.SEE_OTHER:
        return see_other(onward(request))
    return render(request, "facility/sign_in.html", {"form": sheet}, status=status)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return see_other(resolve_url(settings.LOGIN_URL))


def _admit(request: HttpRequest, sheet: SignInSheet) -> HTTPStatus:
    """Sign in if name and password belong together, and say how to answer."""
    if not sheet.is_valid():
        return HTTPStatus.UNPROCESSABLE_ENTITY
    name = sheet.cleaned_data["username"]
    if attempts.too_many(name):
        sheet.add_error(
            None, "Too many failed sign-ins for this name: wait 10 minutes, or ask a manager."
        )
        return HTTPStatus.TOO_MANY_REQUESTS
    person = authenticate(request, username=name, password=sheet.cleaned_data["password"])
    if person is None:
        attempts.note_failure(name)
        sheet.add_error(
            None, "Name and password do not belong together: check both, capitals count."
        )
        return HTTPStatus.UNPROCESSABLE_ENTITY
    attempts.forget(name)
    login(request, person)
    return HTTPStatus.SEE_OTHER
