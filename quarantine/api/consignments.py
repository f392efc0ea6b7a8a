"""Consignments with their boxes as they now stand."""

from typing import Any
from uuid import UUID

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.moments import ZonedDateTimeField
from facility.api.people import signer
from facility.models import Site
from facility.refusals import NotFound
from quarantine.api.shapes import TaxonSerializer
from quarantine.models import Box, Consignment
from quarantine.queries.consignments import arrival_of, consignments_at
from tanks.api.shapes import VesselSerializer


class TallySerializer(serializers.Serializer[Any]):
    """``short`` is what no box held of what its invoice says; ``weak`` are among ``alive``."""

    boxes = serializers.IntegerField()
    invoiced = serializers.IntegerField()
    alive = serializers.IntegerField()
    dead_on_arrival = serializers.IntegerField()
    weak = serializers.IntegerField()
    short = serializers.IntegerField()
    over = serializers.IntegerField()


class ConsignmentSerializer(serializers.ModelSerializer[Consignment]):
    supplier = serializers.CharField(source="supplier.name")
    announced_at = ZonedDateTimeField()
    expected_at = ZonedDateTimeField(allow_null=True)
    departed_at = ZonedDateTimeField(allow_null=True)
    closed_at = ZonedDateTimeField(allow_null=True)

    class Meta:
        model = Consignment
        fields = (
            "id",
            "site",
            "supplier",
            "reference",
            "origin_country",
            "papers",
            "announced_at",
            "departed_at",
            "expected_at",
            "closed_at",
        )
        read_only_fields = fields


class BoxSerializer(serializers.ModelSerializer[Box]):
    """``corrects`` is the row it was first written as; ``sample`` as it was entered."""

    species = TaxonSerializer()
    vessel = VesselSerializer(allow_null=True)
    happened_at = ZonedDateTimeField()
    recorded_at = ZonedDateTimeField()
    by = serializers.CharField(source="by.full_name")

    class Meta:
        model = Box
        fields = (
            "id",
            "number",
            "bag",
            "species",
            "lot",
            "vessel",
            "invoiced",
            "alive",
            "dead_on_arrival",
            "weak",
            "sample",
            "photos",
            "note",
            "happened_at",
            "recorded_at",
            "by",
            "corrects",
            "reason",
        )
        read_only_fields = fields


class SummedSerializer(serializers.Serializer[Any]):
    consignment = ConsignmentSerializer()
    tally = TallySerializer()


class ArrivalSerializer(SummedSerializer):
    """``transit_hours`` from the closing of the boxes to the opening of the first, if known."""

    transit_hours = serializers.FloatField(allow_null=True)
    boxes = BoxSerializer(many=True)


class ConsignmentsView(APIView):
    """Those still open first, at every site this person belongs to."""

    @extend_schema(operation_id="consignments", responses=SummedSerializer(many=True))
    def get(self, request: Request) -> Response:
        sites = Site.objects.open_to(signer(request)).order_by("name", "pk")
        told = [
            {"consignment": row, "tally": tally}
            for site in sites
            for row, tally in consignments_at(site)
        ]
        return Response(SummedSerializer(told, many=True).data)


class ConsignmentView(APIView):
    """One consignment, box by box."""

    @extend_schema(operation_id="consignment", responses=ArrivalSerializer)
    def get(self, request: Request, consignment_id: UUID) -> Response:
        known = Consignment.objects.open_to(signer(request)).filter(pk=consignment_id)
        row = known.select_related("site", "supplier").first()
        if row is None:
            raise NotFound("There is no such consignment here.")
        arrival = arrival_of(row, at=timezone.now())
        told = {
            "consignment": row,
            "tally": arrival.tally,
            "transit_hours": arrival.transit_hours,
            "boxes": [one.box for one in arrival.boxes],
        }
        return Response(ArrivalSerializer(told).data)
