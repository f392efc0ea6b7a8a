"""Inventories and species lists as tables, under Darwin Core's terms where there is one."""

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from facility.models import Site
from facility.rules.wording import written
from facility.sockets.paper import Table
from quarantine.models import Species, SpeciesSheet
from quarantine.queries.books import Held
from quarantine.rules.sheets import FIGURES
from quarantine.rules.species_list import COLUMNS
from tanks.paper.phrases import stamp

_INVENTORY: Final = (
    "scientificName",
    "vernacularName",
    "individualCount",
    "lot",
    "tank",
    "supplier",
    "acquired",
    "sex",
    "asOf",
    "knownBy",
)


def inventory_table(
    rows: Iterable[Held], site: Site, *, at: datetime, known: datetime | None
) -> Table:
    """One row for each lot in each tank."""
    told = tuple(
        (
            one.lot.species.scientific_name,
            one.lot.species.vernacular_name,
            str(one.count),
            one.lot.code,
            one.vessel.code,
            one.lot.supplier.name if one.lot.supplier else "",
            stamp(one.lot.acquired_at, site.zone),
            one.lot.sex.lower(),
            stamp(at, site.zone),
            stamp(known, site.zone),
        )
        for one in rows
    )
    return Table(_INVENTORY, told)


def species_table(rows: Iterable[tuple[Species, SpeciesSheet | None]]) -> Table:
    """The list as it can be taken in again."""
    return Table(COLUMNS, tuple(_species_row(species, sheet) for species, sheet in rows))


def _species_row(species: Species, sheet: SpeciesSheet | None) -> tuple[str, ...]:
    figures = [getattr(sheet, figure.name) if sheet else None for figure in FIGURES]
    return (
        species.scientific_name,
        species.vernacular_name,
        species.group,
        species.water_kind,
        sheet.care_class if sheet else "",
        *(written(value) if value is not None else "" for value in figures),
        sheet.permit_needs if sheet else "",
        sheet.source if sheet else "",
        sheet.note if sheet else "",
    )
