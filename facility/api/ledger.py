"""The ledger, read by programs: the lines as they were hashed."""

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.generics import ListAPIView

from facility.api.asked import KnownFieldsSerializer, asked
from facility.api.moments import AskedMomentField, ZonedDateTimeField
from facility.api.paging import LatestFirst
from facility.api.people import signer
from facility.models import Entry
from facility.queries import ledger


class LineSerializer(serializers.ModelSerializer[Entry]):
    """One line; ``digest`` is SHA-256 over the canonical JSON of all the rest."""

    site = serializers.UUIDField(source="site_id")
    by = serializers.UUIDField(source="by_id", allow_null=True)
    by_name = serializers.SerializerMethodField()
    happened_at = ZonedDateTimeField()
    recorded_at = ZonedDateTimeField()

    class Meta:
        model = Entry
        fields = (
            "site",
            "number",
            "kind",
            "about",
            "facts",
            "happened_at",
            "recorded_at",
            "by",
            "by_name",
            "previous",
            "digest",
        )
        read_only_fields = fields

    def get_by_name(self, line: Entry) -> str:
        """Return the name; the house itself has the product's."""
        return line.by.full_name if line.by else "Penstock"


class AskedLines(KnownFieldsSerializer):
    """``since`` and ``until`` bound when a line was written; ``until`` itself is left out."""

    about = serializers.CharField(required=False, help_text="such as tanks.vessel:<id>")
    kind = serializers.CharField(required=False, help_text="such as tanks.log-readings")
    by = serializers.UUIDField(required=False)
    since = AskedMomentField(required=False)
    until = AskedMomentField(required=False)
    cursor = serializers.CharField(required=False)
    page_size = serializers.IntegerField(required=False, min_value=1, max_value=500)


class LedgerView(ListAPIView[Entry]):
    """Lines of the sites this person belongs to, latest first."""

    serializer_class = LineSerializer
    pagination_class = LatestFirst

    @extend_schema(operation_id="ledger", parameters=[AskedLines])
    def get(self, *args: Any, **options: Any) -> Any:
        return super().get(*args, **options)

    def get_queryset(self) -> QuerySet[Entry]:
        wanted = asked(AskedLines, self.request)
        for name in ("cursor", "page_size"):
            wanted.pop(name, None)
        return ledger.lines_seen_by(signer(self.request), **wanted)
