"""Species with the sheet in force."""

from datetime import datetime

from facility.models import Site
from quarantine.models import Species, SpeciesSheet


def species_at(site: Site, *, at: datetime) -> list[tuple[Species, SpeciesSheet | None]]:
    """The site's list by scientific name, each with its sheet at that moment."""
    rows = list(Species.objects.filter(site=site).order_by("scientific_name"))
    sheets = SpeciesSheet.objects.filter(species__in=rows, period__contains=at)
    by_species = {sheet.species_id: sheet for sheet in sheets}
    return [(row, by_species.get(row.pk)) for row in rows]


def sheet_of(species: Species, *, at: datetime) -> SpeciesSheet | None:
    return SpeciesSheet.objects.filter(species=species, period__contains=at).first()


def sheets_of(species: Species) -> list[SpeciesSheet]:
    """Every sheet it ever had, the latest first."""
    rows = SpeciesSheet.objects.filter(species=species)
    return list(rows.order_by("-period__startswith", "pk"))
