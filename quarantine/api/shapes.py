"""Shapes that several answers share; names of taxa and counts are Darwin Core's terms."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from facility.api.moments import ZonedDateTimeField
from quarantine.models import CountChange, Lot, Species
from tanks.api.shapes import VesselSerializer


class TaxonSerializer(serializers.ModelSerializer[Species]):
    scientificName = serializers.CharField(source="scientific_name")  # noqa: N815  the term's own
    vernacularName = serializers.CharField(source="vernacular_name")  # noqa: N815  the term's own

    class Meta:
        model = Species
        fields = ("id", "scientificName", "vernacularName", "group", "water_kind")
        read_only_fields = fields


class LotSerializer(serializers.ModelSerializer[Lot]):
    """``source_code`` is the letter of 50 CFR 23.24; ``made`` says how the lot came to be."""

    species = TaxonSerializer()
    supplier = serializers.CharField(source="supplier.name", allow_null=True, default=None)
    acquired_at = ZonedDateTimeField()

    class Meta:
        model = Lot
        fields = (
            "id",
            "site",
            "code",
            "species",
            "supplier",
            "consignment",
            "acquired_at",
            "sex",
            "source_code",
            "made",
            "note",
        )
        read_only_fields = fields


class ChangeSerializer(serializers.ModelSerializer[CountChange]):
    """A line of the book; ``is_current`` is false once it was put right or taken back."""

    individualCount = serializers.IntegerField(source="count")  # noqa: N815  the term's own
    from_vessel = VesselSerializer(allow_null=True)
    to_vessel = VesselSerializer(allow_null=True)
    happened_at = ZonedDateTimeField()
    recorded_at = ZonedDateTimeField()
    by = serializers.CharField(source="by.full_name")
    is_current = serializers.SerializerMethodField()

    class Meta:
        model = CountChange
        fields = (
            "id",
            "kind",
            "individualCount",
            "from_lot",
            "from_vessel",
            "to_lot",
            "to_vessel",
            "note",
            "happened_at",
            "recorded_at",
            "by",
            "corrects",
            "reason",
            "withdrawn",
            "is_current",
        )
        read_only_fields = fields

    @extend_schema_field(serializers.BooleanField())
    def get_is_current(self, change: CountChange) -> bool:
        return not change.withdrawn and not hasattr(change, "correction")


class HeldSerializer(serializers.Serializer[Any]):
    lot = LotSerializer()
    vessel = VesselSerializer()
    individualCount = serializers.IntegerField(source="count")  # noqa: N815  the term's own
