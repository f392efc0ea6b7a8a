"""What phones kept while there was no signal: the same commands, many at once, each answered."""

from typing import Any, Final

from django.utils import timezone
from drf_spectacular.utils import extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.asked import KnownFieldsSerializer
from facility.api.deliveries import Delivery, Parcel, deliver
from facility.api.fields import RecordField
from facility.api.moments import ZonedDateTimeField
from facility.commands.sent import keep_sent
from facility.models import Person
from facility.queries.handsets import handset_in, sent_before

MOST: Final = 500


class EntrySerializer(KnownFieldsSerializer):
    id = serializers.UUIDField(help_text="The entry's own, made on the device; the command's id.")
    deed = serializers.CharField(max_length=80, help_text="such as tanks.log-readings")
    command = RecordField(help_text="As for POST /api/deeds/<deed>/.")
    made_at = ZonedDateTimeField(help_text="By the device's own clock.")
    person = serializers.UUIDField(
        allow_null=True, default=None, help_text="Whose entry it is; without it, the signer's."
    )
    token = serializers.CharField(
        allow_blank=True,
        default="",
        max_length=500,
        help_text="On a shared phone: what it was given when this person took it over.",
    )
    dropped = serializers.CharField(
        allow_blank=True,
        default="",
        max_length=300,
        help_text="Why the person took it out again; it is not carried out.",
    )


# The stubs know no max_length of many.
_entries: Any = EntrySerializer


class SyncSerializer(KnownFieldsSerializer):
    device_now = ZonedDateTimeField(help_text="The device's clock as it sends.")
    entries = _entries(many=True, max_length=MOST)


_ANSWERED: Final = inline_serializer(
    "Synced",
    {
        "server_now": serializers.DateTimeField(),
        "skew_s": serializers.FloatField(help_text="How far the device's clock is ahead."),
        "answers": inline_serializer(
            "SyncAnswer",
            {
                "id": serializers.UUIDField(),
                "answer": serializers.ChoiceField(
                    ["saved", "refused", "dropped", "waits"],
                    help_text="What waits is asked for again; nothing was kept of it.",
                ),
                "field": serializers.CharField(allow_blank=True),
                "says": serializers.CharField(allow_blank=True),
                "asks": serializers.ListField(child=serializers.CharField()),
            },
            many=True,
        ),
    },
)


class SignedInOrShared(BasePermission):
    """A shared phone may send for the people whose hands it was in, whoever holds it now."""

    def has_permission(self, request: Request, _: Any) -> bool:
        return isinstance(request.user, Person) or handset_in(request.COOKIES) is not None


class SyncView(APIView):
    permission_classes = [SignedInOrShared]

    @extend_schema(
        operation_id="sync",
        summary="Take entries that waited on a device",
        description="In their order; one that is refused does not stop the next. Asked again "
        "with the same ids, each is answered as before and done once.",
        request=SyncSerializer,
        responses={200: _ANSWERED},
    )
    def post(self, request: Request) -> Response:
        sheet = SyncSerializer(data=request.data)
        sheet.is_valid(raise_exception=True)
        parcel = _parcel(request, sheet.validated_data)
        deliveries = [deliver(parcel, entry) for entry in sheet.validated_data["entries"]]
        keep_sent(delivery.sent for delivery in deliveries if delivery.sent)
        return Response(
            {
                "server_now": parcel.at.isoformat(),
                "skew_s": parcel.skew_s,
                "answers": [_told(delivery) for delivery in deliveries],
            }
        )


def _parcel(request: Request, told: dict[str, Any]) -> Parcel:
    now = timezone.now()
    return Parcel(
        signer=request.user if isinstance(request.user, Person) else None,
        handset=handset_in(request.COOKIES),
        skew_s=(told["device_now"] - now).total_seconds(),
        at=now,
        before=sent_before([entry["id"] for entry in told["entries"]]),
    )


def _told(delivery: Delivery) -> dict[str, Any]:
    return {
        "id": str(delivery.id),
        "answer": delivery.answer,
        "field": delivery.field,
        "says": delivery.says,
        "asks": list(delivery.asks),
    }
