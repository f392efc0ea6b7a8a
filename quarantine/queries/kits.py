"""Kits, where each was last, and whether it was cleaned since."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import OuterRef, QuerySet, Subquery
from django.urls import reverse

from facility.models import FactQuerySet, Person, Site
from quarantine.models import Kit, KitCleaning, KitLabel, KitUse
from tanks.models import Vessel
from tanks.queries.waters import water_of
from tanks.sockets.labels import Labelled


@dataclass(frozen=True, slots=True, kw_only=True)
class KitNow:
    """``use`` is the latest, ``cleaning`` the latest that keeps anything from the next tank."""

    kit: Kit
    use: KitUse | None
    cleaning: KitCleaning | None

    @property
    def is_clean(self) -> bool:
        return self.use is None or (
            self.cleaning is not None and self.cleaning.happened_at >= self.use.happened_at
        )


def kits_at(site: Site) -> list[KitNow]:
    """Every kit in use at a site with where it was last, in three queries."""
    kits = list(
        Kit.objects.filter(site=site, retired_at=None)
        .select_related("area")
        .annotate(
            latest_use=Subquery(_latest(KitUse.objects.current())),
            latest_cleaning=Subquery(_latest(_barriers())),
        )
        .order_by("code")
    )
    uses = KitUse.objects.select_related("vessel").in_bulk(_ids(kits, "latest_use"))
    cleanings = KitCleaning.objects.in_bulk(_ids(kits, "latest_cleaning"))
    return [
        KitNow(
            kit=kit,
            use=uses.get(getattr(kit, "latest_use", None)),
            cleaning=cleanings.get(getattr(kit, "latest_cleaning", None)),
        )
        for kit in kits
    ]


def uncleaned_since(kit: Kit, vessel: Vessel, *, at: datetime) -> KitUse | None:
    """Return the latest use in another water that no cleaning before ``at`` has followed.

    Tanks that share a water share what is in it; a batch of feed carries nothing back.
    """
    if kit.kind == Kit.Kind.FEED_BATCH:
        return None
    cleaned = _barriers().filter(kit=kit, happened_at__lte=at).order_by("-happened_at").first()
    uses = KitUse.objects.current().filter(kit=kit, happened_at__lte=at)
    if cleaned is not None:
        uses = uses.filter(happened_at__gt=cleaned.happened_at)
    here = water_of(vessel, at=max(at, vessel.opened_at)).member_ids
    elsewhere = uses.exclude(vessel__in=here).select_related("vessel")
    found: KitUse | None = elsewhere.order_by("-happened_at", "pk").first()
    return found


def story_of(kit: Kit, *, most: int = 40) -> list[KitUse | KitCleaning]:
    """Uses and cleanings of a kit, latest first."""
    uses = kit.uses.current().select_related("vessel", "by").order_by("-happened_at")[:most]
    rows = kit.cleanings.current().select_related("by").order_by("-happened_at")[:most]
    told: list[KitUse | KitCleaning] = [*uses, *rows]
    return sorted(told, key=lambda row: (row.happened_at, row.recorded_at), reverse=True)[:most]


def kit_labelled(code: str, person: Person | None) -> Labelled | None:
    """Return where the label leads; without a person, whoever may see it."""
    rows = KitLabel.objects.filter(pk=code)
    label = (rows if person is None else rows.filter(kit__in=Kit.objects.open_to(person))).first()
    if label is None:
        return None
    return Labelled(url=reverse("quarantine:kit", args=[label.kit_id]), retired_at=label.retired_at)


def _barriers() -> FactQuerySet:
    return KitCleaning.objects.current().exclude(means=KitCleaning.Means.RINSED)


def _latest(rows: FactQuerySet) -> QuerySet[Any, Any]:
    return rows.filter(kit=OuterRef("pk")).order_by("-happened_at", "pk").values("pk")[:1]


def _ids(kits: Iterable[Kit], name: str) -> list[object]:
    return [pk for kit in kits if (pk := getattr(kit, name)) is not None]
