"""One shape for every no: a refusal tells its code, its field and its sentence."""

from http import HTTPStatus
from typing import Any, Final

from django.db import DataError
from rest_framework.response import Response
from rest_framework.views import exception_handler

from facility.refusals import NotAllowed, NotFound, Refusal

_TOO_MUCH: Final = "A text is too long, or a number too large, to be kept; shorten it."
_STATUS: Final = ((NotAllowed, HTTPStatus.FORBIDDEN), (NotFound, HTTPStatus.NOT_FOUND))


def handle(exception: Exception, context: dict[str, Any]) -> Response | None:
    """Answer a refusal with 403, 404 or 409; leave everything else to the framework.

    What no column can keep, and no rule has refused before, changes nothing either: 400.
    """
    if isinstance(exception, Refusal):
        return Response(told(exception), status=_status_of(exception))
    if isinstance(exception, DataError):
        return Response({"detail": _TOO_MUCH}, status=HTTPStatus.BAD_REQUEST)
    return exception_handler(exception, context)


def told(refusal: Refusal) -> dict[str, str]:
    return {"code": refusal.code, "field": refusal.field, "says": refusal.sentence}


def _status_of(refusal: Refusal) -> HTTPStatus:
    fitting = (status for kind, status in _STATUS if isinstance(refusal, kind))
    return next(fitting, HTTPStatus.CONFLICT)
