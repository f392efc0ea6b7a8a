"""A start-up, read by programs: its stage, its certificate, its latest forecast."""

from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.moments import ZonedDateTimeField
from tanks.api.found import cycle_of
from tanks.api.shapes import VesselSerializer
from tanks.models import Cycle, Forecast
from tanks.queries.cycles import course, latest_forecast
from tanks.rules.stages import Code


class StageSerializer(serializers.Serializer[Any]):
    code = serializers.ChoiceField([(code.value, code.value) for code in Code])
    title = serializers.CharField()
    sentence = serializers.CharField()


class CertificateSerializer(serializers.Serializer[Any]):
    """The certificate in force, or else the latest; ``says`` tells what ended it."""

    id = serializers.UUIDField(source="certificate.pk")
    signed_by = serializers.CharField(source="certificate.by.full_name")
    signed_at = ZonedDateTimeField(source="certificate.happened_at")
    feed_g_per_day = serializers.DecimalField(8, 2, source="certificate.feed_g_per_day")
    protein_share = serializers.DecimalField(4, 3, source="certificate.protein_share")
    water_litres = serializers.DecimalField(10, 2, source="certificate.water_litres")
    load_mg_l_n = serializers.DecimalField(6, 3, source="certificate.load_mg_l_n")
    is_in_force = serializers.BooleanField()
    says = serializers.CharField(source="standing.sentence")


class ForecastSerializer(serializers.ModelSerializer[Forecast]):
    """It advises and certifies nothing. ``digest`` is SHA-256 of the case it was made from."""

    made_at = ZonedDateTimeField()

    class Meta:
        model = Forecast
        fields = ("id", "made_at", "digest", "as_planned", "unbuffered")
        read_only_fields = fields


class CycleSerializer(serializers.ModelSerializer[Cycle]):
    site = serializers.UUIDField(source="vessel.site_id")
    vessel = VesselSerializer()
    started_at = ZonedDateTimeField()
    started_by = serializers.CharField(source="started_by.full_name")
    ended_at = ZonedDateTimeField(allow_null=True)

    class Meta:
        model = Cycle
        fields = (
            "id",
            "site",
            "vessel",
            "water_kind",
            "seed",
            "seed_origin",
            "declared_feed_g_per_day",
            "protein_share",
            "cycling_temperature_c",
            "cycling_salinity_g_kg",
            "stocking_temperature_c",
            "stocking_salinity_g_kg",
            "started_at",
            "started_by",
            "ended_at",
            "outcome",
        )
        read_only_fields = fields


class CourseSerializer(serializers.Serializer[Any]):
    """``lapses_at`` is when the certificate in force lapses if nobody feeds the filter."""

    cycle = CycleSerializer()
    stage = StageSerializer()
    certificate = CertificateSerializer(allow_null=True)
    lapses_at = ZonedDateTimeField(allow_null=True)
    forecast = ForecastSerializer(allow_null=True)


class CycleView(APIView):
    """One start-up as it stands now."""

    @extend_schema(operation_id="cycle", responses=CourseSerializer)
    def get(self, request: Request, cycle_id: UUID) -> Response:
        cycle = cycle_of(request, cycle_id)
        told = course(cycle, at=timezone.now())
        answer = {
            "cycle": cycle,
            "stage": told.stage,
            "certificate": told.certificate,
            "lapses_at": told.lapses_at,
            "forecast": latest_forecast(cycle),
        }
        return Response(CourseSerializer(answer).data)
