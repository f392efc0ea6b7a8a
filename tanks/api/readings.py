"""Readings, read by programs: corrected and withdrawn ones too, and marked."""

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.generics import ListAPIView

from facility.api.asked import KnownFieldsSerializer, asked
from facility.api.moments import AskedMomentField
from facility.api.paging import LatestFirst
from facility.api.people import signer
from tanks.api.found import vessel_of
from tanks.api.shapes import ReadingSerializer
from tanks.models import Reading
from tanks.queries.readings import readings_seen_by


class AskedReadings(KnownFieldsSerializer):
    """``since`` and ``until`` bound when a sample was taken; ``until`` itself is left out."""

    vessel = serializers.UUIDField(required=False)
    parameter = serializers.ChoiceField(Reading.Parameter.choices, required=False)
    since = AskedMomentField(required=False)
    until = AskedMomentField(required=False)
    cursor = serializers.CharField(required=False)
    page_size = serializers.IntegerField(required=False, min_value=1, max_value=500)


class LatestTakenFirst(LatestFirst):
    ordering = ("-happened_at", "-recorded_at", "pk")


class ReadingsView(ListAPIView[Reading]):
    """Readings of the sites this person belongs to, latest sample first."""

    serializer_class = ReadingSerializer
    pagination_class = LatestTakenFirst

    @extend_schema(operation_id="readings", parameters=[AskedReadings])
    def get(self, *args: Any, **options: Any) -> Any:
        return super().get(*args, **options)

    def get_queryset(self) -> QuerySet[Reading]:
        wanted = asked(AskedReadings, self.request)
        vessel = vessel_of(self.request, wanted["vessel"]) if "vessel" in wanted else None
        return readings_seen_by(
            signer(self.request),
            vessel=vessel,
            parameter=wanted.get("parameter"),
            since=wanted.get("since"),
            until=wanted.get("until"),
        )
