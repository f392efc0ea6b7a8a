"""Response headers Django does not set by itself."""

from collections.abc import Callable
from typing import Final

from django.http import HttpRequest, HttpResponse

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
