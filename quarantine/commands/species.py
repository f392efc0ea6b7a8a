"""Kinds of animals, and what each needs: from the manager's own sources."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.backends.postgresql.psycopg_any import DateTimeTZRange

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import NotFound, Refusal
from quarantine.models import Species, SpeciesSheet
from quarantine.rules.sheets import FIGURES, Unsound, unsound
from tanks.commands.finding import site_for
from tanks.models import Cycle


class ScientificNameMissing(Refusal):
    code = "scientific-name-missing"
    field = "scientific_name"


class SpeciesKnown(Refusal):
    code = "species-known"
    field = "scientific_name"


class UnknownGroup(Refusal):
    code = "unknown-group"
    field = "group"


class UnknownWaterKind(Refusal):
    code = "unknown-water-kind"
    field = "water_kind"


class UnknownCareClass(Refusal):
    code = "unknown-care-class"
    field = "care_class"


class SheetSourceMissing(Refusal):
    code = "sheet-source-missing"
    field = "source"


class VerifierMissing(Refusal):
    code = "verifier-missing"
    field = "verified_by"


class SheetUnsound(Refusal):
    code = "sheet-unsound"

    def __init__(self, fault: Unsound) -> None:
        super().__init__(fault.sentence)
        self.field = fault.name


@dataclass(frozen=True, slots=True, kw_only=True)
class DescribeSpecies:
    """The two names are Darwin Core's scientificName and vernacularName."""

    id: UUID
    site_id: UUID
    scientific_name: str
    vernacular_name: str
    group: str
    water_kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSpeciesSheet:
    """The whole sheet anew, with where its figures come from; what is empty is not known."""

    id: UUID
    species_id: UUID
    temperature_low_c: Decimal | None
    temperature_high_c: Decimal | None
    ph_low: Decimal | None
    ph_high: Decimal | None
    salinity_low_g_kg: Decimal | None
    salinity_high_g_kg: Decimal | None
    shortest_stay_days: int | None
    months_run: int | None
    stocking_order: int | None
    care_class: str
    permit_needs: str
    note: str
    source: str
    edition: str = ""
    jurisdiction: str = ""
    verified_on: date | None = None
    verified_by: str = ""

    def figures(self) -> dict[str, Decimal | int | None]:
        return {figure.name: getattr(self, figure.name) for figure in FIGURES}


@transaction.atomic(durable=True)
def describe_species(command: DescribeSpecies, *, by: Person, at: datetime) -> Species:
    """Add a kind of animal to the site's list.

    Raises:
        NotFound, NotAllowed, IdTaken, ScientificNameMissing, UnknownGroup, UnknownWaterKind,
        SpeciesKnown
    """
    site = site_for(by, command.site_id, deed="quarantine.describe-species")
    columns = _stripped(asdict(command))
    if species := earlier(Species, command.id, columns):
        return species
    if not columns["scientific_name"]:
        raise ScientificNameMissing("Write the scientific name, such as Paracheirodon innesi.")
    if command.group not in Species.Group.values:
        raise UnknownGroup("Choose the group it belongs to.")
    if command.water_kind not in Cycle.WaterKind.values:
        raise UnknownWaterKind("Choose fresh or marine water.")
    if Species.objects.filter(
        site=site, scientific_name__iexact=columns["scientific_name"]
    ).exists():
        raise SpeciesKnown(f"{columns['scientific_name']} is on the list already.")
    species = Species.objects.create(**columns)
    _record("quarantine.describe-species", [species], species, by=by, at=at)
    return species


@transaction.atomic(durable=True)
def set_species_sheet(command: SetSpeciesSheet, *, by: Person, at: datetime) -> SpeciesSheet:
    """Put this sheet in the place of the one in force; the old one stays to be read.

    Raises:
        NotFound, NotAllowed, IdTaken, SheetSourceMissing, VerifierMissing, UnknownCareClass,
        SheetUnsound
    """
    species = species_for(by, command.species_id, deed="quarantine.set-species-sheet")
    columns = _stripped(asdict(command))
    if sheet := earlier(SpeciesSheet, command.id, columns):
        return sheet
    _require_sound(command)
    ended = list(SpeciesSheet.objects.filter(species=species, period__contains=at))
    for row in ended:
        row.period = DateTimeTZRange(row.period.lower, at)
        row.save(update_fields=["period"])
    sheet = SpeciesSheet.objects.create(
        **columns, period=DateTimeTZRange(at, None), stops=_stops(ended)
    )
    _record("quarantine.set-species-sheet", [sheet, *ended], species, by=by, at=at)
    return sheet


def species_for(by: Person, species_id: UUID, *, deed: str) -> Species:
    """Return the species, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    known = Species.objects.open_to(by).select_related("site")
    species: Species | None = known.filter(pk=species_id).first()
    if species is None:
        raise NotFound("There is no such species on this site's list.")
    site_for(by, species.site_id, deed=deed)
    return species


def _require_sound(command: SetSpeciesSheet) -> None:
    if not command.source.strip():
        raise SheetSourceMissing("Say where these figures come from, or that it is your practice.")
    if command.verified_on and not command.verified_by.strip():
        raise VerifierMissing("Write who looked the figures up there, or clear the day.")
    if command.care_class not in SpeciesSheet.CareClass.values:
        raise UnknownCareClass("Choose the care class.")
    for fault in unsound(command.figures()):
        raise SheetUnsound(fault)


def _stops(before: list[SpeciesSheet]) -> list[Any]:
    """What must not reach the species stays so when its figures are set anew."""
    return list(before[0].stops) if before else []


def _stripped(columns: dict[str, Any]) -> dict[str, Any]:
    return {
        name: value.strip() if isinstance(value, str) else value for name, value in columns.items()
    }


def _record(kind: str, rows: list[Any], species: Species, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind,
        rows,
        about=species,
        site=species.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
