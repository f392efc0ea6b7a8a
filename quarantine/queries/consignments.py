"""Consignments with their boxes as they now stand."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf
from typing import Any
from uuid import UUID

from facility.models import Photo, Site
from facility.queries.photos import photos_named
from quarantine.models import Box, Consignment, Lot, LotLabel, Species
from quarantine.rules.opening import Sampled, Tank
from quarantine.rules.papers import Paper, paper_from, standing
from quarantine.rules.tallies import Tally, tally
from tanks.models import Limit, Vessel
from tanks.queries.meanings import bound_of
from tanks.queries.policies import limits_at
from tanks.queries.readings import latest_in
from tanks.queries.waters import water_of
from tanks.rules.limits import UNIONISED, Bound


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A box, or what corrects it, with its photos as far as they have arrived."""

    box: Box
    photos: tuple[Photo, ...]
    first: Box | None

    @property
    def gap(self) -> int:
        return self.box.invoiced - self.box.alive - self.box.dead_on_arrival

    @property
    def sample(self) -> list[Sampled]:
        return [Sampled(**told) for told in self.box.sample]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A consignment: what is expected, what was opened, what it comes to."""

    consignment: Consignment
    boxes: tuple[Opened, ...]
    tally: Tally
    species: tuple[tuple[Species, Tally], ...]
    papers: tuple[tuple[Paper, str], ...]
    lots: tuple[tuple[Lot, LotLabel | None], ...]

    @property
    def transit_hours(self) -> float | None:
        """From the closing of the boxes to the opening of the first one."""
        begun = self.consignment.departed_at
        if begun is None or not self.boxes:
            return None
        return (self.boxes[0].box.happened_at - begun) / timedelta(hours=1)


def arrival_of(consignment: Consignment, *, at: datetime) -> Arrival:
    boxes = boxes_of(consignment)
    rows = [one.box for one in boxes]
    today = at.astimezone(consignment.site.zone).date()
    papers = [paper_from(told) for told in consignment.papers]
    return Arrival(
        consignment=consignment,
        boxes=tuple(boxes),
        tally=tally(rows),
        species=tuple(_by_species(rows)),
        papers=tuple((one, standing(one, on=today)) for one in papers),
        lots=tuple(_labelled(Lot.objects.filter(consignment=consignment))),
    )


def boxes_of(consignment: Consignment) -> list[Opened]:
    """What holds now of each box, in the order opened."""
    known = Box.objects.current().filter(consignment=consignment)
    rows = list(
        known.select_related("species", "lot", "vessel", "by", "protocol", "corrects").order_by(
            "happened_at", "recorded_at", "pk"
        )
    )
    photos = {one.pk: one for one in photos_named([pk for row in rows for pk in row.photos])}
    return [
        Opened(
            box=row,
            photos=tuple(photos[pk] for pk in row.photos if pk in photos),
            first=_first(row),
        )
        for row in rows
    ]


def consignments_at(site: Site) -> list[tuple[Consignment, Tally]]:
    """Those still open first, the latest before."""
    rows = list(Consignment.objects.filter(site=site).select_related("supplier"))
    boxes: dict[UUID, list[Box]] = {}
    for box in Box.objects.current().filter(consignment__in=rows):
        boxes.setdefault(box.consignment_id, []).append(box)
    rows.sort(key=lambda one: one.announced_at, reverse=True)
    rows.sort(key=lambda one: one.closed_at is not None)
    return [(row, tally(boxes.get(row.pk, []))) for row in rows]


def next_number(boxes: Iterable[Box]) -> str:
    """The number after the highest one opened; boxes are mostly counted."""
    known = [int(box.number) for box in boxes if box.number.isdecimal() and len(box.number) < 6]  # noqa: PLR2004  longer ones are no count of boxes
    return str(max(known, default=0) + 1)


def tank_water(vessel: Vessel, *, at: datetime) -> Tank:
    """What was last read of the water that animals are to go into."""
    read = latest_in(water_of(vessel, at=at))

    def value(parameter: str) -> float | None:
        reading = read.get(parameter)
        return reading.interval.low if reading is not None else None

    return Tank(ph=value("PH"), temperature_c=value("TEMPERATURE"), salinity_g_kg=value("SALINITY"))


def unionised_bound(site: Site, water_kind: str, *, at: datetime) -> Bound | None:
    """The site's strictest limit on un-ionised ammonia where animals are, in mg/L as N."""
    rows = limits_at(site, at=at).filter(
        parameter=UNIONISED, water_kind=water_kind, stage=Limit.Stage.STOCKED
    )
    bounds = [bound_of(row) for row in rows]
    return min((one for one in bounds if one.high is not None), key=_height, default=None)


def _height(bound: Bound) -> float:
    return inf if bound.high is None else bound.high


def _by_species(rows: Iterable[Box]) -> Iterator[tuple[Species, Tally]]:
    found: dict[Species, list[Any]] = {}
    for row in rows:
        found.setdefault(row.species, []).append(row)
    for species in sorted(found, key=lambda one: one.scientific_name):
        yield species, tally(found[species])


def _labelled(lots: Any) -> Iterator[tuple[Lot, LotLabel | None]]:
    rows = list(lots.select_related("species").order_by("code"))
    kept = LotLabel.objects.filter(lot__in=rows, retired_at=None)
    labels = {label.lot_id: label for label in kept}
    return ((lot, labels.get(lot.pk)) for lot in rows)


def _first(row: Box) -> Box | None:
    """What was first written, where it was put right since."""
    before = row.corrects
    while isinstance(before, Box) and isinstance(before.corrects, Box):
        before = before.corrects
    return before if isinstance(before, Box) else None
