"""Admissions and what entered under them."""

from collections.abc import Collection, Mapping
from datetime import datetime
from uuid import UUID

from django.db.models import Min, QuerySet

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
