"""What Django does not do by itself: a policy for scripts, and the way to another port."""

import re
from collections.abc import Callable
from typing import Final
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

POLICY: Final = (
    "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)


def content_security_policy(
    respond: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    def respond_with_policy(request: HttpRequest) -> HttpResponse:
        response = respond(request)
        response.headers.setdefault("Content-Security-Policy", POLICY)
        return response

    return respond_with_policy


def onto_https(
    respond: Callable[[HttpRequest], HttpResponse],
) -> Callable[[HttpRequest], HttpResponse]:
    """Lead plain http to the https port of the same name; a label printed before still arrives.

    Not for ever: a phone that remembered it could not fetch the certificate it needs.
    """
    exempt = re.compile("|".join(settings.SECURE_REDIRECT_EXEMPT) or "(?!)")

    def respond_or_lead(request: HttpRequest) -> HttpResponse:
        is_plain = settings.HTTPS_PORT and not request.is_secure()
        if not is_plain or exempt.search(request.path.lstrip("/")):
            return respond(request)
        host = urlsplit(f"//{request.get_host()}").hostname or ""
        named = f"[{host}]" if ":" in host else host
        where = f"https://{named}:{settings.HTTPS_PORT}{request.get_full_path()}"
        return HttpResponseRedirect(where, status=307)

    return respond_or_lead
