"""One screen for a look at a tank: who was seen, feeding, breathing, signs, a photo, a word."""

from collections.abc import Iterable
from typing import Any, ClassVar, Final

from django.forms import (
    CharField,
    CheckboxSelectMultiple,
    ChoiceField,
    FileField,
    FileInput,
    IntegerField,
    MultipleChoiceField,
)
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from quarantine.commands.observations import LogObservation
from quarantine.models import SIGNS, Observation
from quarantine.queries.books import Held
from tanks.models import Vessel

WHOLE: Final = ""
SIGN_CHOICES: Final = list(SIGNS.items())


def photo_field() -> FileField:
    camera = FileInput({"accept": "image/*", "capture": "environment", "data-outbox-field": ""})
    return FileField(label="Photo", required=False, widget=camera)


def signs_field() -> MultipleChoiceField:
    return MultipleChoiceField(
        label="Signs",
        choices=SIGN_CHOICES,
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
    )


def lot_choices(held: Iterable[Held]) -> list[tuple[str, str]]:
    """Each lot with its species and how many the book says are here."""
    return [(str(one.lot.pk), told(one)) for one in held]


def told(one: Held) -> str:
    species = one.lot.species.vernacular_name or one.lot.species.scientific_name
    return f"{one.lot.code} {species}, {one.count}"


class ObservationSheet(CommandSheet):
    problem_title: ClassVar[str] = "Not saved yet"
    lot_id = ChoiceField(
        label="Which animals", required=False, widget=Segmented({"class": "segmented rows"})
    )
    feeding = ChoiceField(label="Feeding", choices=Observation.Feeding.choices, widget=Segmented())
    respiration = ChoiceField(
        label="Breathing", choices=Observation.Respiration.choices, widget=Segmented()
    )
    signs = signs_field()
    seen_count = IntegerField(
        label="Seen",
        min_value=0,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
        help_text="How many you saw, where you counted.",
        error_messages={"invalid": "Write a whole number, such as 12."},
    )
    photo = photo_field()
    note = CharField(label="In a few words", max_length=300, required=False)
    happened_at = WallClockField(label="Looked at", initial=timezone.now)
    rare: ClassVar[tuple[str, ...]] = ("happened_at",)
    rare_title: ClassVar[str] = "Another time"

    def __init__(self, *args: Any, held: Iterable[Held], **options: Any) -> None:
        super().__init__(*args, **options)
        lots = lot_choices(held)
        field = self.fields["lot_id"]
        if isinstance(field, ChoiceField):
            field.choices = [(WHOLE, "All in this tank"), *lots]
        if not lots:
            del self.fields["lot_id"]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if "OTHER" in given.get("signs", []) and not given.get("note"):
            self.add_error("note", "Say in a few words what else was seen.")
        return given

    def command(self, vessel: Vessel, *, photos: tuple[Any, ...] = ()) -> LogObservation:
        given = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        given |= {"signs": tuple(given["signs"]), "lot_id": given.get("lot_id") or None}
        return LogObservation(vessel_id=vessel.pk, photos=photos, **given)
