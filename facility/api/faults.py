"""What went wrong outside any deed: programs are answered in JSON, people with a page."""

from http import HTTPStatus

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views import defaults

_OURS = "Something went wrong here; what was saved before is kept. Send it again with the same id."
_NOWHERE = "There is nothing at this address."


def server_error(request: HttpRequest) -> HttpResponse:
    if _is_program(request):
        return JsonResponse({"detail": _OURS}, status=HTTPStatus.INTERNAL_SERVER_ERROR)
    return defaults.server_error(request)


def page_not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    if _is_program(request):
        return JsonResponse({"detail": _NOWHERE}, status=HTTPStatus.NOT_FOUND)
    return defaults.page_not_found(request, exception)


def _is_program(request: HttpRequest) -> bool:
    return request.path_info.startswith("/api/")
