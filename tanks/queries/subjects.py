"""Tanks, systems and devices as subjects of work: all vessels of one water count as one."""

from collections.abc import Collection
from dataclasses import replace
from datetime import datetime
from uuid import UUID

from django.db import models
from django.urls import reverse

from facility.models import Site
from facility.sockets.subjects import Place
from tanks.models import Cycle, Device, Vessel
from tanks.queries.waters import openings, standing
from tanks.rules.waters import members_at


def vessels_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    rows = Vessel.objects.filter(pk__in=ids).select_related("area")
    return {row.pk: _place(row, row.name or row.code) for row in rows}


def devices_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    rows = Device.objects.filter(pk__in=ids).select_related("vessel__area")
    return {row.pk: _place(row.vessel, f"{row.name} of {row.vessel.code}") for row in rows}


def cycles_as_places(ids: Collection[UUID]) -> dict[UUID, Place]:
    """A start-up is where the vessel is that its water is named by."""
    rows = Cycle.objects.filter(pk__in=ids).select_related("vessel__area")
    return {
        row.pk: replace(
            _place(row.vessel, row.vessel.name or row.vessel.code),
            stands_for=f"{_table(Vessel)}:{row.vessel_id}",
        )
        for row in rows
    }


def water_of_cycle(cycle_id: UUID, at: datetime) -> frozenset[str]:
    """The start-up and all vessels of its water."""
    own = frozenset({f"{_table(Cycle)}:{cycle_id}"})
    cycle = Cycle.objects.filter(pk=cycle_id).first()
    return own | of_one_water(cycle.vessel_id, at) if cycle else own


def of_one_water(vessel_id: UUID, at: datetime) -> frozenset[str]:
    """The keys of all vessels whose water mixed with this vessel's at that moment."""
    vessel = Vessel.objects.select_related("site").filter(pk=vessel_id).first()
    if vessel is None:
        return frozenset()
    members = members_at(vessel_id, openings(vessel.site), at=at)
    return frozenset(f"{_table(Vessel)}:{member}" for member in members)


def device_alone(id_: UUID, _: datetime) -> frozenset[str]:
    return frozenset({f"{_table(Device)}:{id_}"})


def vessels_at(site_id: UUID, at: datetime) -> list[tuple[UUID, str]]:
    """Tanks and systems in use, as they stand in their rooms."""
    rows = standing(Site.objects.get(pk=site_id), at).order_by("area__name", "code")
    return [(row.pk, f"{row.code} {row.name}".strip() + f", {row.area.name}") for row in rows]


def devices_at(site_id: UUID, at: datetime) -> list[tuple[UUID, str]]:
    rows = Device.objects.filter(vessel__site=site_id, installed_at__lte=at)
    there = rows.exclude(removed_at__lte=at).select_related("vessel")
    return [(row.pk, f"{row.name} of {row.vessel.code}") for row in there.order_by("name", "pk")]


def _place(vessel: Vessel, name: str) -> Place:
    return Place(
        name=name,
        url=reverse("tanks:tank", args=[vessel.pk]),
        area_id=vessel.area_id,
        hygiene_rank=vessel.area.hygiene_rank,
        site_id=vessel.site_id,
    )


def _table(model: type[models.Model]) -> str:
    return str(model._meta.label_lower)
