"""The water at a moment: who shares it and how much of it there is."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import reduce
from operator import or_
from uuid import UUID

from django.db.models import Q, QuerySet

from facility.models import Site
from tanks.models import Connection, Vessel, Volume
from tanks.rules.waters import Opening, Span, net_litres, spans, waters_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Water:
    """All that mixes at ``at``. ``litres`` is net, and None while a member is unmeasured."""

    anchor: Vessel
    members: tuple[Vessel, ...]
    litres: float | None
    unmeasured: tuple[Vessel, ...]
    at: datetime

    @property
    def member_ids(self) -> frozenset[UUID]:
        return frozenset(vessel.pk for vessel in self.members)

    @property
    def subjects(self) -> frozenset[str]:
        """Its vessels as the ledger names them."""
        return frozenset(f"tanks.vessel:{pk}" for pk in self.member_ids)

    @property
    def name(self) -> str:
        return self.anchor.name or self.anchor.code


def waters(site: Site, *, at: datetime) -> list[Water]:
    """Every water of the site at that moment, in three queries however many there are."""
    return _waters(site, {vessel.pk: vessel for vessel in standing(site, at)}, at)


def water_of(vessel: Vessel, *, at: datetime) -> Water:
    """The water that ``vessel`` was part of at that moment.

    Records may reach back before the vessel was put up here, and a retired one keeps its page:
    outside its time it is a water of its own, or that of its valves.
    """
    vessels = {row.pk: row for row in standing(vessel.site, at)}
    found = _waters(vessel.site, {vessel.pk: vessel} | vessels, at)
    return next(water for water in found if vessel.pk in water.member_ids)


def openings(site: Site) -> list[Opening]:
    """Every connection the site ever had."""
    rows = Connection.objects.filter(vessel__site=site).order_by("pk")
    return [
        Opening(
            vessel=row.vessel_id,
            system=row.system_id,
            since=row.period.lower,
            until=row.period.upper,
        )
        for row in rows
    ]


def spans_of(vessel: Vessel, *, since: datetime, until: datetime) -> list[Span]:
    """With whom ``vessel`` shared water between two moments."""
    return list(spans(vessel.pk, openings(vessel.site), since=since, until=until))


def within(water_spans: Iterable[Span], *, vessel: str = "vessel") -> Q:
    """The condition that a fact befell this water: its vessel was a member at its moment."""
    return reduce(or_, (_in_span(span, vessel) for span in water_spans))


def _in_span(span: Span, vessel: str) -> Q:
    inside = Q(**{f"{vessel}__in": span.members}, happened_at__gte=span.since)
    return inside if span.until is None else inside & Q(happened_at__lt=span.until)


def standing(site: Site, at: datetime) -> QuerySet[Vessel]:
    """Tanks and systems in use at that moment."""
    rows = Vessel.objects.filter(site=site, opened_at__lte=at).exclude(retired_at__lte=at)
    return rows.select_related("area", "site").order_by("code", "pk")


def litres_at(site: Site, at: datetime) -> dict[UUID, float]:
    """Net litres of each measured vessel, as known of that moment."""
    known = Volume.objects.current().filter(vessel__site=site, happened_at__lte=at)
    rows = known.order_by("vessel_id", "-happened_at", "-recorded_at").distinct("vessel_id")
    return {row.vessel_id: float(row.litres) for row in rows}


def _waters(site: Site, vessels: dict[UUID, Vessel], at: datetime) -> list[Water]:
    litres = litres_at(site, at)
    groups = waters_at(vessels, openings(site), at=at)
    found = [_water(group, vessels, litres, at) for group in groups if group & vessels.keys()]
    return sorted(found, key=lambda water: (water.anchor.area.hygiene_rank, water.anchor.code))


def _water(
    group: frozenset[UUID], vessels: dict[UUID, Vessel], litres: dict[UUID, float], at: datetime
) -> Water:
    members = sorted(
        (vessels[pk] for pk in group if pk in vessels),
        key=lambda vessel: (vessel.kind != Vessel.Kind.SYSTEM, vessel.code),
    )
    total, unmeasured = net_litres([vessel.pk for vessel in members], litres)
    return Water(
        anchor=members[0],
        members=tuple(members),
        litres=None if unmeasured else total,
        unmeasured=tuple(vessel for vessel in members if vessel.pk in unmeasured),
        at=at,
    )
