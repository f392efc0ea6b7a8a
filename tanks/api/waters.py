"""Waters, read by programs: who shares one, how much there is, what was last read in it."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from django.db.models import prefetch_related_objects
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.asked import KnownFieldsSerializer, asked
from facility.api.moments import AskedMomentField, ZonedDateTimeField
from facility.api.people import signer
from facility.models import Site
from tanks.api.found import vessel_of
from tanks.api.shapes import ReadingSerializer, VesselSerializer
from tanks.queries.cycles import open_cycles_in
from tanks.queries.readings import latest_in_waters
from tanks.queries.waters import Water, water_of, waters

# Asked for all at once: none has one, but each would ask by itself.
_NEWER: Final = "correction"


class WaterSerializer(serializers.Serializer[Any]):
    """All that mixed ``at`` that moment; ``litres`` is null while a member is unmeasured."""

    site = serializers.UUIDField(source="water.anchor.site_id")
    anchor = VesselSerializer(source="water.anchor")
    name = serializers.CharField(source="water.name")
    members = VesselSerializer(many=True, source="water.members")
    litres = serializers.FloatField(allow_null=True, source="water.litres")
    unmeasured = VesselSerializer(many=True, source="water.unmeasured")
    at = ZonedDateTimeField(source="water.at")
    cycle = serializers.UUIDField(allow_null=True, help_text="the start-up open in it")
    latest = ReadingSerializer(many=True, help_text="the latest reading of each parameter")


class AskedMoment(KnownFieldsSerializer):
    at = AskedMomentField(required=False, help_text="the moment asked about; now, if left out")


class WatersView(APIView):
    """Every water of the sites this person belongs to."""

    @extend_schema(
        operation_id="waters", parameters=[AskedMoment], responses=WaterSerializer(many=True)
    )
    def get(self, request: Request) -> Response:
        at = _moment(request)
        sites = Site.objects.open_to(signer(request)).order_by("name", "pk")
        told = [one for site in sites for one in _told(waters(site, at=at))]
        return Response(WaterSerializer(told, many=True).data)


class WaterView(APIView):
    """The water that a vessel was part of; any member names it."""

    @extend_schema(operation_id="water", parameters=[AskedMoment], responses=WaterSerializer)
    def get(self, request: Request, vessel_id: UUID) -> Response:
        vessel = vessel_of(request, vessel_id)
        (told,) = _told([water_of(vessel, at=_moment(request))])
        return Response(WaterSerializer(told).data)


def _moment(request: Request) -> datetime:
    moment: datetime = asked(AskedMoment, request).get("at") or timezone.now()
    return moment


def _told(found: Iterable[Water]) -> Iterator[dict[str, Any]]:
    """Yield what is told of waters of one site; the queries do not grow with them."""
    known = list(found)
    latest, cycles = latest_in_waters(known), open_cycles_in(known)
    prefetch_related_objects([one for read in latest.values() for one in read.values()], _NEWER)
    for water in known:
        pk = water.anchor.pk
        cycle, read = cycles.get(pk), latest.get(pk, {})
        yield {
            "water": water,
            "cycle": cycle.pk if cycle else None,
            "latest": [read[name] for name in sorted(read)],
        }
