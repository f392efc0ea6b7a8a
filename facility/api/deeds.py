"""One address for each deed: the same commands as the pages, for devices and scripts."""

from collections.abc import Callable
from http import HTTPStatus
from inspect import getdoc
from typing import Any, Final

from django.http.response import HttpResponseBase
from django.utils import timezone
from drf_spectacular.utils import OpenApiResponse, extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.columns import kept_by
from facility.api.fields import serializer_of
from facility.api.passwords import CountedBasicAuthentication
from facility.api.people import signer
from facility.sockets.deeds import Deed

_DONE = inline_serializer(
    "Done",
    {"id": serializers.CharField(help_text="The command's id, or that of the row it changed.")},
)
_REFUSED = inline_serializer(
    "Refused",
    {
        "code": serializers.CharField(),
        "field": serializers.CharField(allow_blank=True),
        "says": serializers.CharField(),
    },
)
_ANSWERS: Final = {
    201: _DONE,
    400: OpenApiResponse(description="A field could not be read; a sentence says why."),
    403: _REFUSED,
    404: _REFUSED,
    409: _REFUSED,
}


# Later signings need at least the component only the signer knows: 21 CFR 11.200(a)(1)(i).
_SIGNING: Final = [CountedBasicAuthentication]
_ANY: Final = APIView.authentication_classes


def view_of(deed: Deed) -> Callable[..., HttpResponseBase]:
    """Build the view of a deed, described for OpenAPI by its command.

    Asked again with the same id, it answers the same.
    """
    sheet_of = serializer_of(deed.command, kept_by(deed))

    class DeedView(APIView):
        # A session is left open on a tablet; the password is not left with it.
        authentication_classes = _SIGNING if deed.is_signature else _ANY

        @extend_schema(
            operation_id=deed.name.replace(".", "-"),
            summary=deed.says.capitalize(),
            description=getdoc(deed.command) or "",
            request=sheet_of,
            responses=_ANSWERS,
        )
        def post(self, request: Request) -> Response:
            sheet = sheet_of(data=request.data)
            sheet.is_valid(raise_exception=True)
            command = sheet.asked()
            done = deed.give(command, by=signer(request), at=timezone.now())
            return Response({"id": _id(command, done)}, status=HTTPStatus.CREATED)

    return DeedView.as_view()


def _id(command: Any, done: Any) -> str:
    """Return the id the client made, or that of the row a command without one changed."""
    return str(command.id if hasattr(command, "id") else done.pk)
