"""Lots with their books, and the inventory of any moment, as known now or then."""

from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.generics import ListAPIView
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from facility.api.asked import KnownFieldsSerializer, asked
from facility.api.moments import AskedMomentField
from facility.api.paging import LatestFirst
from facility.api.people import signer
from facility.models import Site
from facility.refusals import NotFound
from quarantine.api.shapes import ChangeSerializer, HeldSerializer, LotSerializer
from quarantine.models import CountChange, Lot
from quarantine.queries.books import lots_at
from quarantine.queries.lots import story_of


class BookSerializer(serializers.Serializer[Any]):
    """What came less what went, corrected, is what remains."""

    arrived = serializers.IntegerField()
    dead_on_arrival = serializers.IntegerField()
    bred = serializers.IntegerField()
    found = serializers.IntegerField()
    died = serializers.IntegerField()
    euthanised = serializers.IntegerField()
    sold = serializers.IntegerField()
    left = serializers.IntegerField()
    missing = serializers.IntegerField()
    other_in = serializers.IntegerField()
    other_out = serializers.IntegerField()
    corrected = serializers.IntegerField()
    remaining = serializers.IntegerField()
    closes = serializers.BooleanField()


class LotStorySerializer(serializers.Serializer[Any]):
    """``hindrances`` are sentences: why nothing of it may be sold now."""

    lot = LotSerializer()
    book = BookSerializer()
    held = HeldSerializer(many=True)
    parents = LotSerializer(many=True)
    children = LotSerializer(many=True)
    hindrances = serializers.ListField(child=serializers.CharField())
    changes = ChangeSerializer(many=True)


class AskedInventory(KnownFieldsSerializer):
    at = AskedMomentField(required=False, help_text="the moment asked about; now, if left out")
    known_at = AskedMomentField(
        required=False, help_text="as it was known by then; as known now, if left out"
    )


class AskedLots(KnownFieldsSerializer):
    cursor = serializers.CharField(required=False)
    page_size = serializers.IntegerField(required=False, min_value=1, max_value=500)


class LatestAcquiredFirst(LatestFirst):
    ordering = ("-acquired_at", "pk")


class LotsView(ListAPIView[Lot]):
    """Every lot of the sites this person belongs to, the latest first."""

    serializer_class = LotSerializer
    pagination_class = LatestAcquiredFirst

    @extend_schema(operation_id="lots", parameters=[AskedLots])
    def get(self, *args: Any, **options: Any) -> Any:
        return super().get(*args, **options)

    def get_queryset(self) -> QuerySet[Lot]:
        asked(AskedLots, self.request)
        known = Lot.objects.open_to(signer(self.request))
        return known.select_related("species", "supplier")


class LotView(APIView):
    """One lot: how many, where, what it came of, every line of its book."""

    @extend_schema(operation_id="lot", responses=LotStorySerializer)
    def get(self, request: Request, lot_id: UUID) -> Response:
        known = Lot.objects.open_to(signer(request)).filter(pk=lot_id)
        lot = known.select_related("site", "species", "supplier").first()
        if lot is None:
            raise NotFound("There is no such lot here.")
        story = story_of(lot, at=timezone.now())
        rows = CountChange.objects.filter(Q(from_lot=lot) | Q(to_lot=lot))
        changes = rows.select_related("from_vessel", "to_vessel", "by", "correction")
        told = {
            "lot": lot,
            "book": story.book,
            "held": story.held,
            "parents": story.parents,
            "children": story.children,
            "hindrances": story.hindrances,
            "changes": changes.order_by("happened_at", "recorded_at", "pk"),
        }
        return Response(LotStorySerializer(told).data)


class InventoryView(APIView):
    """Which lot was in which tank at any moment, as known now or as known then."""

    @extend_schema(
        operation_id="inventory", parameters=[AskedInventory], responses=HeldSerializer(many=True)
    )
    def get(self, request: Request) -> Response:
        wanted = asked(AskedInventory, request)
        at = wanted.get("at") or timezone.now()
        sites = Site.objects.open_to(signer(request)).order_by("name", "pk")
        told = [
            one
            for site in sites
            for one in lots_at(site, at=at, as_recorded_at=wanted.get("known_at"))
        ]
        return Response(HeldSerializer(told, many=True).data)
