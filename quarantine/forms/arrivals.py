"""The boxes of a consignment, as wet hands fill them in."""

from collections.abc import Iterator
from typing import Any, ClassVar, Final
from uuid import UUID

from django.core.exceptions import ValidationError
from django.forms import (
    BooleanField,
    CharField,
    ChoiceField,
    ClearableFileInput,
    FileField,
    IntegerField,
    ModelChoiceField,
    TextInput,
)
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Site
from quarantine.commands.arrivals import ReceiveBox, ValueRead
from quarantine.commands.box_corrections import CorrectBox
from quarantine.models import Box, Consignment, Protocol, Species
from quarantine.rules.opening import Sampled, problem_of
from tanks.models import Vessel
from tanks.queries.waters import standing
from tanks.rules.scans import Kind, said_by

_WHOLE: Final = {"invalid": "Write a whole number, such as 48."}
# Field, parameter, unit and basis of what is read of a bag's water.
SAMPLE: Final = (
    ("temperature", "TEMPERATURE", "degC", ""),
    ("ph", "PH", "pH", "NBS"),
    ("tan", "TAN", "mg/L", ""),
    ("salinity", "SALINITY", "g/kg", ""),
)


def whole(label: str, *, required: bool = True, **options: Any) -> IntegerField:
    """A count in a big box with the numeric keypad."""
    return IntegerField(
        label=label,
        min_value=0,
        required=required,
        widget=BigNumber({"inputmode": "numeric", "data-whole": ""}),
        error_messages=_WHOLE,
        **options,
    )


class SpeciesChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    def label_from_instance(self, obj: Species) -> str:
        common = f" ({obj.vernacular_name})" if obj.vernacular_name else ""
        return f"{obj.scientific_name}{common}"


class BoxForm(CommandSheet):
    """One box. The tank may be written as people say it, or as its label says."""

    problem_title: ClassVar[str] = "This box is not saved yet"
    number = CharField(label="Box", max_length=20, widget=BigNumber({"inputmode": "numeric"}))
    species = SpeciesChoice(label="Species", queryset=Species.objects.none())
    photo = FileField(
        label="Photo",
        required=False,
        widget=ClearableFileInput({"accept": "image/*", "capture": "environment"}),
    )
    invoiced = whole("Invoiced")
    alive = whole("Alive")
    dead_on_arrival = whole("Dead on arrival (DOA)", initial=0)
    weak = whole("Weak, among the living", initial=0)
    tank = CharField(
        label="Into tank",
        max_length=120,
        required=False,
        widget=TextInput(
            {"autocomplete": "off", "autocapitalize": "characters", "list": "tanks-known"}
        ),
        help_text="Its code, or scan its label.",
    )
    temperature = CharField(
        label="Temperature", max_length=40, required=False, widget=BigNumber(unit="°C")
    )
    ph = CharField(label="pH (NBS scale)", max_length=40, required=False, widget=BigNumber())
    tan = CharField(label="TAN", max_length=40, required=False, widget=BigNumber(unit="mg/L"))
    tan_basis = ChoiceField(
        label="The kit gives TAN",
        choices=[("N", "as N"), ("NH3", "as NH₃"), ("NH4", "as NH₄⁺")],
        required=False,
        widget=Segmented(),
        help_text="Look on the kit; they differ by a quarter.",
    )
    salinity = CharField(
        label="Salinity", max_length=40, required=False, widget=BigNumber(unit="g/kg")
    )
    protocol = ModelChoiceField(
        label="Acclimated by", queryset=Protocol.objects.none(), required=False
    )
    bag = CharField(
        label="Bag",
        max_length=20,
        required=False,
        help_text="Where one box holds several bags or species: A, B, C.",
    )
    is_new_lot = BooleanField(
        label="Keep as a lot of its own",
        required=False,
        help_text="Otherwise it joins this consignment's lot of the species.",
    )
    note = CharField(label="Note", max_length=300, required=False)
    happened_at = WallClockField(label="Opened at", initial=timezone.now)

    def __init__(self, *args: Any, consignment: Consignment, **options: Any) -> None:
        super().__init__(*args, **options)
        self.consignment = consignment
        site = consignment.site
        self.offer("species", Species.objects.filter(site=site).order_by("scientific_name"))
        protocols = Protocol.objects.filter(site=site, retired_at=None).order_by("name", "edition")
        self.offer("protocol", protocols)
        self.tanks = {row.code: row for row in standing(site, timezone.now())}

    def clean_tank(self) -> Vessel | None:
        text = self.cleaned_data["tank"].strip()
        return _tank(self.consignment.site, self.tanks, text) if text else None

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        for name, sampled in self.sampled():
            if problem := problem_of(sampled):
                self.add_error(name, ValidationError(problem))
        if given.get("tan") and not given.get("tan_basis"):
            self.add_error("tan_basis", ValidationError("Choose what the kit gives TAN as."))
        if given.get("alive") and "tank" not in self.errors and not given.get("tank"):
            self.add_error("tank", ValidationError("Write the tank that the living went into."))
        return given

    def sampled(self) -> Iterator[tuple[str, Sampled]]:
        """What was read of the bag, by the field it was typed in."""
        given = self.cleaned_data
        for name, parameter, unit, basis in SAMPLE:
            if text := given.get(name):
                as_ = given.get("tan_basis") or "N" if parameter == "TAN" else basis
                yield name, Sampled(parameter=parameter, text=text, unit=unit, basis=as_)

    def command(self, photos: tuple[UUID, ...]) -> ReceiveBox:
        given = self.cleaned_data
        counts = ("invoiced", "alive", "dead_on_arrival", "weak")
        return ReceiveBox(
            id=given["id"],
            consignment_id=self.consignment.pk,
            number=given["number"],
            bag=given["bag"],
            species_id=given["species"].pk,
            vessel_id=given["tank"].pk if given["tank"] else None,
            is_new_lot=given["is_new_lot"],
            protocol_id=given["protocol"].pk if given["protocol"] else None,
            sample=tuple(
                ValueRead(parameter=one.parameter, text=one.text, unit=one.unit, basis=one.basis)
                for _, one in self.sampled()
            ),
            photos=photos,
            note=given["note"],
            happened_at=given["happened_at"],
            **{name: given[name] for name in counts},
        )


class BoxCorrectionForm(CommandSheet):
    problem_title: ClassVar[str] = "Not corrected yet"
    invoiced = whole("Invoiced")
    alive = whole("Alive")
    dead_on_arrival = whole("Dead on arrival (DOA)")
    weak = whole("Weak, among the living")
    reason = CharField(label="Why", max_length=300, help_text="Such as: counted again.")

    def command(self, box: Box) -> CorrectBox:
        return CorrectBox(box_id=box.pk, **self.cleaned_data)


class LabelSheetForm(Sheet):
    paper = ChoiceField(
        label="Label sheet",
        choices=[("a4", "A4, 21 labels of 63.5 × 38.1 mm"), ("letter", "Letter, 10 of 4 × 2 in")],
        initial="a4",
        widget=Segmented(),
    )
    used = IntegerField(
        label="Labels already used",
        min_value=0,
        max_value=20,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
        help_text="Counted row by row from the upper left.",
    )


def _tank(site: Site, tanks: dict[str, Vessel], text: str) -> Vessel:
    """The tank by its code, or by one of its labels as scanned or typed.

    Raises:
        ValidationError
    """
    named = {code.casefold(): vessel for code, vessel in tanks.items()}
    if text.casefold() in named:
        return named[text.casefold()]
    said = said_by(text)
    if said.kind is Kind.OURS:
        rows = Vessel.objects.filter(
            site=site, labels__code=said.text, labels__retired_at=None, retired_at=None
        )
        vessel = rows.select_related("site", "area").first()
        if vessel is not None:
            return vessel
    raise ValidationError(f"There is no tank {text} here; write its code, or scan its label.")
