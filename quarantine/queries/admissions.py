"""Admissions and what entered under them."""

from collections.abc import Collection, Mapping
from datetime import datetime
from uuid import UUID

from django.db.models import Min, Prefetch, QuerySet

from quarantine.models import Admission, Stocking
from tanks.queries.waters import Water


def first_entries(cycle_ids: Collection[UUID]) -> Mapping[UUID, datetime]:
    """When the first animals entered under each start-up's admission, in one query."""
    rows = Stocking.objects.current().filter(admission__cycle__in=list(cycle_ids))
    firsts = rows.values_list("admission__cycle").annotate(first_at=Min("happened_at"))
    return dict(firsts.order_by("admission__cycle"))


def admissions_in(water: Water) -> QuerySet[Admission]:
    """Admissions to any vessel of the water, latest first, with what entered."""
    rows = Admission.objects.current().filter(vessel__in=water.member_ids)
    known = rows.select_related("by", "cycle__policy").prefetch_related("stockings__by")
    return known.order_by("-happened_at", "pk")


def admissions_of(cycle_id: UUID, *, at: datetime) -> QuerySet[Admission]:
    """Admissions of a start-up recorded by ``at``, oldest first, with what entered by then."""
    entered = Stocking.objects.current().filter(recorded_at__lte=at).order_by("happened_at", "pk")
    rows = Admission.objects.current().filter(cycle=cycle_id, recorded_at__lte=at)
    known = rows.select_related("by", "vessel__site")
    told = Prefetch("stockings", entered.select_related("by"))
    return known.prefetch_related(told).order_by("happened_at", "pk")
