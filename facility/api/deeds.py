"""One address for each deed: the same commands as the pages, for devices and scripts."""

from collections.abc import Callable
from http import HTTPStatus
from inspect import getdoc
from typing import Final

from django.http.response import HttpResponseBase
from django.utils import timezone
from drf_spectacular.utils import OpenApiResponse, extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.fields import serializer_of
from facility.api.people import signer
from facility.sockets.deeds import Deed

_DONE = inline_serializer("Done", {"id": serializers.CharField()})
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


def view_of(deed: Deed) -> Callable[..., HttpResponseBase]:
    """Build the view of a deed, described for OpenAPI by its command.

    Asked again with the same id, it answers the same.
    """

    class DeedView(APIView):
        @extend_schema(
            operation_id=deed.name.replace(".", "-"),
            summary=deed.says.capitalize(),
            description=getdoc(deed.command) or "",
            request=serializer_of(deed.command),
            responses=_ANSWERS,
        )
        def post(self, request: Request) -> Response:
            sheet = serializer_of(deed.command)(data=request.data)
            sheet.is_valid(raise_exception=True)
            done = deed.give(sheet.asked(), by=signer(request), at=timezone.now())
            return Response({"id": str(done.pk)}, status=HTTPStatus.CREATED)

    return DeedView.as_view()
