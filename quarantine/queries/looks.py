"""What was seen lately of the animals in a tank or a water."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.db.models import Q

from facility.models import Site
from quarantine.models import SIGNS, Death, Finding, Observation
from quarantine.queries.books import Held, lots_at
from quarantine.queries.deaths import deaths_related
from tanks.models import Vessel

_LATELY: Final = timedelta(days=30)
_WEEK: Final = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """A look with its signs in words."""

    row: Observation
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TankHeld:
    """One tank with animals: who, when last looked at, and how many died within a week."""

    vessel: Vessel
    lots: tuple[Held, ...]
    latest: Looked | None
    died_in_week: int

    @property
    def count(self) -> int:
        return sum(one.count for one in self.lots)


def looks_in(vessel_ids: Collection[UUID], *, at: datetime) -> list[Looked]:
    """Those of the last 30 days, the latest first."""
    rows = Observation.objects.current().filter(
        vessel__in=vessel_ids, happened_at__gt=at - _LATELY, happened_at__lte=at
    )
    related = rows.select_related("vessel", "lot", "by").order_by("-happened_at", "-recorded_at")
    return [_looked(row) for row in related]


def deaths_lately(vessel_ids: Collection[UUID], *, at: datetime) -> list[Death]:
    """Those of the last 30 days, the latest first; taken back ones too, so that they are seen."""
    rows = deaths_related(Death.objects.filter(withdrawn=False)).filter(
        change__from_vessel__in=vessel_ids, happened_at__gt=at - _LATELY, happened_at__lte=at
    )
    return list(rows.select_related("correction").order_by("-happened_at", "-recorded_at"))


def findings_in(vessel_ids: Collection[UUID], lot_ids: Collection[UUID]) -> list[Finding]:
    """Results about these tanks and lots that hold now, the latest first."""
    about = Q(vessel__in=vessel_ids) | Q(lot__in=lot_ids)
    rows = Finding.objects.current().filter(about).select_related("vessel", "lot", "by")
    return list(rows.order_by("-happened_at", "-recorded_at"))


def tanks_held(site: Site, *, at: datetime) -> list[TankHeld]:
    """Every tank with animals by the book, from clean areas to dirty ones, by code."""
    by_vessel: dict[UUID, list[Held]] = {}
    for held in lots_at(site, at=at):
        by_vessel.setdefault(held.vessel.pk, []).append(held)
    latest = _latest(by_vessel, at)
    died = _died(by_vessel, at)
    found = [
        TankHeld(
            vessel=lots[0].vessel,
            lots=tuple(lots),
            latest=latest.get(vessel),
            died_in_week=died.get(vessel, 0),
        )
        for vessel, lots in by_vessel.items()
    ]
    return sorted(found, key=lambda one: (one.vessel.area.hygiene_rank, one.vessel.code))


def _latest(vessel_ids: Collection[UUID], at: datetime) -> dict[UUID, Looked]:
    rows = Observation.objects.current().filter(vessel__in=vessel_ids, happened_at__lte=at)
    newest = rows.order_by("vessel", "-happened_at", "-recorded_at").distinct("vessel")
    return {row.vessel_id: _looked(row) for row in newest.select_related("vessel", "lot", "by")}


def _died(vessel_ids: Collection[UUID], at: datetime) -> dict[UUID, int]:
    rows = Death.objects.current().filter(
        change__from_vessel__in=vessel_ids, happened_at__gt=at - _WEEK, happened_at__lte=at
    )
    found: dict[UUID, int] = {}
    for vessel, count in rows.values_list("change__from_vessel", "change__count"):
        found[vessel] = found.get(vessel, 0) + count
    return found


def _looked(row: Observation) -> Looked:
    return Looked(row=row, signs=tuple(SIGNS[code] for code in row.signs))
