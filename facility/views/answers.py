from http import HTTPStatus

from django.conf import settings
from django.forms import Form
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme


class SeeOther(HttpResponseRedirect):
    status_code = HTTPStatus.SEE_OTHER


def see_other(url: str) -> HttpResponse:
    """Answer a sheet that was accepted; reloading the page that follows sends nothing."""
    return SeeOther(url)


def onward(request: HttpRequest) -> str:
    """Return the page named by ``?next=``, unless it leads off this server; else the first page."""
    wanted = request.GET.get("next", "")
    ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if ours else resolve_url(settings.LOGIN_REDIRECT_URL)


def status_of(*, is_bound: bool) -> HTTPStatus:
    """A sheet shown again after it was sent was refused."""
    return HTTPStatus.UNPROCESSABLE_ENTITY if is_bound else HTTPStatus.OK


def sheet_page(  # noqa: PLR0913  each names one part of the page
    request: HttpRequest,
    sheet: Form,
    *,
    title: str,
    sub: str,
    verb: str,
    cancel: str,
    waits: str = "",
    template: str = "facility/sheet.html",
) -> HttpResponse:
    """Show a page that is one sheet; ``verb`` is the word on its button.

    ``waits`` is what the tag ``outbox`` makes, for a sheet that may wait on the device. A
    ``template`` of another app may say more below the sheet.
    """
    facts = {"form": sheet, "title": title, "sub": sub, "verb": verb, "cancel": cancel}
    facts["waits"] = waits
    return render(request, template, facts, status=status_of(is_bound=sheet.is_bound))
