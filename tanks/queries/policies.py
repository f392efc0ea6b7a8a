"""The policy and limits in force at a moment."""

from datetime import datetime
from typing import Final

from django.db.models import QuerySet

from facility.models import Site
from tanks.models import Limit, Policy
from tanks.rules.terms import Terms

_WHOLE: Final = ("passes_needed",)


def policy_at(site: Site, *, at: datetime) -> Policy | None:
    """Return the policy the site goes by at that moment, or None before it adopted any."""
    return Policy.objects.filter(site=site, period__contains=at).order_by("pk").first()


def terms_of(policy: Policy) -> Terms:
    """Return the policy's figures as plain numbers."""
    names = Terms.__dataclass_fields__
    figures = {name: float(getattr(policy, name)) for name in names if name not in _WHOLE}
    return Terms(**figures, passes_needed=policy.passes_needed)


def limits_at(site: Site, *, at: datetime) -> QuerySet[Limit]:
    return Limit.objects.filter(site=site, period__contains=at).order_by("parameter", "level", "pk")


def chlorine_limit_mg_l(site: Site, *, water_kind: str, at: datetime) -> float | None:
    """Return what total chlorine must be proven below before seeding: the acute limit."""
    known = limits_at(site, at=at).filter(parameter="CHLORINE", unit="mg/L", high__isnull=False)
    rows = known.filter(water_kind=water_kind).order_by("level", "stage", "pk")
    limit = rows.first()
    return None if limit is None or limit.high is None else float(limit.high)
