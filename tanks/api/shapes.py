"""Shapes that several answers share: a vessel, and what a reading says in canonical units."""

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from facility.api.moments import ZonedDateTimeField
from tanks.models import Reading, Vessel
from tanks.rules.values import CANONICAL_UNITS


class VesselSerializer(serializers.ModelSerializer[Vessel]):
    class Meta:
        model = Vessel
        fields = ("id", "kind", "code", "name")
        read_only_fields = fields


class IntervalSerializer(serializers.Serializer[Any]):
    """From ``low`` to ``high``; ``high`` is null when the reading was over range."""

    low = serializers.FloatField()
    high = serializers.FloatField(allow_null=True)
    unit = serializers.CharField()


class ReadingSerializer(serializers.ModelSerializer[Reading]):
    """A reading as entered, and the interval it says; below detection is never zero.

    ``is_current`` is false once it was corrected (``corrected_by`` is the newer row) or
    withdrawn; such rows stay to be seen. Oxygen in per cent spans what it may be in any water.
    """

    vessel = VesselSerializer()
    method = serializers.CharField(source="method.name")
    method_kind = serializers.CharField(source="method.kind")
    canonical = serializers.SerializerMethodField()
    happened_at = ZonedDateTimeField()
    recorded_at = ZonedDateTimeField()
    by = serializers.CharField(source="by.full_name")
    corrects = serializers.UUIDField(source="corrects_id", allow_null=True)
    corrected_by = serializers.UUIDField(source="correction.pk", allow_null=True, default=None)
    is_current = serializers.SerializerMethodField()

    class Meta:
        model = Reading
        fields = (
            "id",
            "vessel",
            "sample",
            "parameter",
            "as_entered",
            "qualifier",
            "value",
            "upper",
            "unit",
            "basis",
            "canonical",
            "method",
            "method_kind",
            "happened_at",
            "recorded_at",
            "by",
            "surprise_confirmed",
            "corrects",
            "reason",
            "withdrawn",
            "corrected_by",
            "is_current",
        )
        read_only_fields = fields

    @extend_schema_field(IntervalSerializer)
    def get_canonical(self, reading: Reading) -> dict[str, Any]:
        said = reading.interval
        return {"low": said.low, "high": said.high, "unit": CANONICAL_UNITS[reading.parameter]}

    def get_is_current(self, reading: Reading) -> bool:
        return not reading.withdrawn and not hasattr(reading, "correction")
