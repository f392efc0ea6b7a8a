"""Species with the sheet in force; a figure that is not known is null."""

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.people import signer
from facility.models import Site
from quarantine.api.shapes import TaxonSerializer
from quarantine.models import SpeciesSheet
from quarantine.queries.species import species_at


class SheetSerializer(serializers.ModelSerializer[SpeciesSheet]):
    """``is_verified`` tells whether somebody looked the figures up at their source."""

    is_verified = serializers.BooleanField()

    class Meta:
        model = SpeciesSheet
        fields = (
            "id",
            "temperature_low_c",
            "temperature_high_c",
            "ph_low",
            "ph_high",
            "salinity_low_g_kg",
            "salinity_high_g_kg",
            "shortest_stay_days",
            "months_run",
            "stocking_order",
            "care_class",
            "permit_needs",
            "note",
            "source",
            "edition",
            "jurisdiction",
            "is_verified",
        )
        read_only_fields = fields


class SpeciesSerializer(serializers.Serializer[Any]):
    site = serializers.UUIDField()
    taxon = TaxonSerializer()
    sheet = SheetSerializer(allow_null=True)


class SpeciesView(APIView):
    """The lists of every site this person belongs to."""

    @extend_schema(operation_id="species", responses=SpeciesSerializer(many=True))
    def get(self, request: Request) -> Response:
        sites = Site.objects.open_to(signer(request)).order_by("name", "pk")
        told = [
            {"site": site.pk, "taxon": taxon, "sheet": sheet}
            for site in sites
            for taxon, sheet in species_at(site, at=timezone.now())
        ]
        return Response(SpeciesSerializer(told, many=True).data)
