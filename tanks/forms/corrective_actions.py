from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from tanks.commands.corrective_actions import ActOnReading
from tanks.models import Reading
from tanks.rules.corrective_actions import NEEDS_NOTE, usual


class ActOnReadingSheet(CommandSheet):
    """What was done: one tap, and a few words where they help."""

    problem_title: ClassVar[str] = "Not recorded yet"
    rare = ("happened_at",)
    rare_title: ClassVar[str] = "It was at another time"
    action = ChoiceField(label="What was done", widget=Segmented({"class": "segmented rows"}))
    note = CharField(
        label="Note",
        max_length=300,
        required=False,
        help_text="How much, where, with what: a third changed, 60 L.",
    )
    happened_at = WallClockField(required=False, label="When", help_text="Leave empty for now.")

    def __init__(self, *args: Any, reading: Reading, parameter: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.reading = reading
        if isinstance(field := self.fields["action"], ChoiceField):
            field.choices = usual(parameter)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if told.get("action") in NEEDS_NOTE and not told.get("note"):
            self.add_error("note", ValidationError("Say in a few words what else was done."))
        return told

    def command(self) -> ActOnReading:
        told = self.cleaned_data
        return ActOnReading(
            id=told["id"],
            reading_id=self.reading.pk,
            action=told["action"],
            note=told["note"],
            happened_at=told["happened_at"] or timezone.now(),
        )
