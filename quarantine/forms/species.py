"""Species, their sheets and lists; suppliers; protocols of acclimation."""

from collections.abc import Iterator
from typing import Any, ClassVar, Final
from uuid import UUID, uuid5

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField, DateInput, FileField, Textarea

from facility.forms.numbers import NumberField
from facility.forms.sheets import CalendarField, CommandSheet, Segmented, Sheet
from facility.models import Site
from quarantine.commands.protocols import SetProtocol
from quarantine.commands.species import DescribeSpecies, SetSpeciesSheet
from quarantine.commands.suppliers import AddSupplier
from quarantine.models import Species, SpeciesSheet
from quarantine.rules.sheets import FIGURES, unsound
from quarantine.rules.species_list import BadList, Choices, Listed, listed
from tanks.models import Cycle

CHOICES: Final = Choices(
    groups=frozenset(Species.Group.values),
    water_kinds=frozenset(Cycle.WaterKind.values),
    care_classes=frozenset(SpeciesSheet.CareClass.values),
)
_LARGEST_BYTES: Final = 2_000_000


class SpeciesForm(CommandSheet):
    scientific_name = CharField(
        label="Scientific name", max_length=120, help_text="Such as Paracheirodon innesi."
    )
    vernacular_name = CharField(label="Common name", max_length=120, required=False)
    group = ChoiceField(label="Group", choices=Species.Group.choices, widget=Segmented())
    water_kind = ChoiceField(label="Water", choices=Cycle.WaterKind.choices, widget=Segmented())

    def command(self, site: Site) -> DescribeSpecies:
        return DescribeSpecies(site_id=site.pk, **self.cleaned_data)


class SpeciesSheetForm(CommandSheet):
    """The figures come from the rules; what stays empty is not known."""

    problem_title: ClassVar[str] = "Not set yet"
    care_class = ChoiceField(
        label="Care",
        choices=SpeciesSheet.CareClass.choices,
        initial="ROUTINE",
        widget=Segmented({"class": "segmented rows"}),
    )
    permit_needs = CharField(
        label="Papers it needs",
        max_length=200,
        required=False,
        help_text="Such as CITES Appendix II. A release then asks for them.",
    )
    note = CharField(label="Note", max_length=400, required=False)
    source = CharField(
        label="Source of these figures",
        max_length=200,
        help_text="A book with its page, a veterinarian, or your own practice.",
    )
    edition = CharField(label="Edition", max_length=80, required=False)
    verified_on = CalendarField(
        label="Looked up on",
        required=False,
        widget=DateInput({"type": "date"}, format="%Y-%m-%d"),
        help_text="Empty: not verified, and shown so.",
    )
    verified_by = CharField(label="Looked up by", max_length=120, required=False)
    rare = ("edition", "verified_on", "verified_by")
    rare_title = "Edition, and who looked it up"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        fields = {
            figure.name: NumberField(
                label=figure.label,
                unit=figure.unit,
                low=figure.low,
                high=figure.high,
                decimal_places=0 if figure.is_whole else 1,
                required=False,
            )
            for figure in FIGURES
        }
        self.fields = {"id": self.fields.pop("id"), **fields, **self.fields}

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        for fault in unsound({figure.name: given.get(figure.name) for figure in FIGURES}):
            if fault.name not in self.errors:
                self.add_error(fault.name, ValidationError(fault.sentence))
        return given

    def command(self, species: Species) -> SetSpeciesSheet:
        given = dict(self.cleaned_data)
        for figure in FIGURES:
            if figure.is_whole and given[figure.name] is not None:
                given[figure.name] = int(given[figure.name])
        return SetSpeciesSheet(
            species_id=species.pk, jurisdiction=species.site.jurisdiction, **given
        )


class SpeciesListForm(Sheet):
    """The manager's own list as a file; nothing is taken until every line can be."""

    problem_title: ClassVar[str] = "Nothing was taken"
    file = FileField(
        label="Your list (CSV, UTF-8)",
        help_text="First line: scientificName, and any of vernacularName, group, waterKind, "
        "temperatureLowC, temperatureHighC, phLow, phHigh, shortestStayDays, source…",
    )

    def clean_file(self) -> list[Listed]:
        file = self.cleaned_data["file"]
        if file.size > _LARGEST_BYTES:
            raise ValidationError("Larger than 2 MB; take the list in parts.")
        try:
            found = list(listed(file.read().decode("utf-8-sig"), CHOICES))
        except UnicodeDecodeError as error:
            raise ValidationError("Not UTF-8; save it as CSV in UTF-8.") from error
        except BadList as fault:
            raise ValidationError(str(fault)) from fault
        wrong = [f"Line {one.number}: {one.fault}" for one in found if one.fault]
        if wrong:
            raise ValidationError(wrong[:20])
        return found

    def commands(self, site: Site) -> Iterator[tuple[DescribeSpecies, SetSpeciesSheet | None]]:
        """Each line as commands; their ids follow from what it says, so twice is once."""
        for one in self.cleaned_data["file"]:
            species_id = _species_id(site, one)
            yield (
                DescribeSpecies(
                    id=species_id,
                    site_id=site.pk,
                    scientific_name=one.scientific_name,
                    vernacular_name=one.vernacular_name,
                    group=one.group,
                    water_kind=one.water_kind,
                ),
                _sheet(site, species_id, one) if one.has_sheet else None,
            )


class SupplierForm(CommandSheet):
    name = CharField(label="Full name", max_length=160, help_text="As the register asks for it.")
    address = CharField(label="Address", max_length=300, required=False)
    country = CharField(
        label="Country", max_length=2, required=False, help_text="Two letters, such as SG."
    )
    approval_number = CharField(
        label="Approval or registration number", max_length=60, required=False
    )

    def command(self, site: Site) -> AddSupplier:
        return AddSupplier(site_id=site.pk, **self.cleaned_data)


class ProtocolForm(CommandSheet):
    name = CharField(label="Name", max_length=80, help_text="Such as Float and net.")
    edition = CharField(label="Edition", max_length=20, help_text="Such as 2, or a date.")
    steps = CharField(
        label="Steps",
        max_length=2000,
        widget=Textarea(),
        help_text="In your own words: light, minutes, steps of temperature and salinity, "
        "what becomes of the bag water.",
    )

    def command(self, site: Site) -> SetProtocol:
        return SetProtocol(site_id=site.pk, **self.cleaned_data)


def _species_id(site: Site, one: Listed) -> UUID:
    """The species already listed under that name, or the one this line makes."""
    known = Species.objects.filter(site=site, scientific_name__iexact=one.scientific_name)
    pk: UUID | None = known.values_list("pk", flat=True).first()
    return pk or uuid5(site.pk, f"species {one.scientific_name.casefold()}")


def _sheet(site: Site, species_id: UUID, one: Listed) -> SetSpeciesSheet:
    told = [str(value) for value in (*one.figures.values(), one.care_class, one.permit_needs)]
    said = "\x1f".join([*told, one.note, one.source])
    figures: dict[str, Any] = dict(one.figures)
    return SetSpeciesSheet(
        id=uuid5(species_id, f"sheet {said}"),
        species_id=species_id,
        care_class=one.care_class,
        permit_needs=one.permit_needs,
        note=one.note,
        source=one.source or "The site's own list",
        jurisdiction=site.jurisdiction,
        **figures,
    )
