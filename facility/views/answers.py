from http import HTTPStatus

from django.http import HttpResponse


def see_other(url: str) -> HttpResponse:
    """Answer a sheet that was accepted; reloading the page that follows sends nothing."""
    return HttpResponse(status=HTTPStatus.SEE_OTHER, headers={"Location": url})
