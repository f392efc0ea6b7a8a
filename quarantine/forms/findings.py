"""What a test found, or that its result is awaited."""

from typing import Any, ClassVar

from django.forms import BooleanField, CharField, ChoiceField, IntegerField
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from quarantine.commands.findings import LogFinding
from quarantine.forms.observations import lot_choices
from quarantine.models import Finding
from quarantine.queries.books import Held
from tanks.models import Vessel


class FindingSheet(CommandSheet):
    """``answers`` is the finding whose result comes in; its sample stands."""

    lot_id = ChoiceField(
        label="Which animals", required=False, widget=Segmented({"class": "segmented rows"})
    )
    agent = CharField(
        label="Looked for",
        max_length=120,
        help_text="Scientific name or disease, such as koi herpesvirus.",
    )
    method = CharField(
        label="Method", max_length=120, help_text="Such as microscopy of gill, PCR, culture."
    )
    sampled = IntegerField(
        label="Animals sampled", min_value=1, widget=BigNumber({"inputmode": "numeric"})
    )
    result = ChoiceField(label="Result", choices=Finding.Result.choices, widget=Segmented())
    positive = IntegerField(
        label="Positive",
        min_value=0,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
        help_text="How many of those sampled; 0 where it was not found, empty while it is awaited.",
    )
    is_notifiable = BooleanField(
        label="Notifiable: stop movements and call the authority", required=False
    )
    laboratory = CharField(label="Laboratory", max_length=120, required=False)
    note = CharField(label="In a few words", max_length=300, required=False)
    happened_at = WallClockField(label="Sampled at", initial=timezone.now)
    rare: ClassVar[tuple[str, ...]] = ("laboratory", "note", "happened_at")

    def __init__(
        self,
        *args: Any,
        held: tuple[Held, ...] | list[Held],
        answers: Finding | None = None,
        **options: Any,
    ) -> None:
        begun = {name: getattr(answers, name) for name in _SAMPLE} if answers else {}
        super().__init__(*args, **{"initial": begun} | options)
        self.answers = answers
        field = self.fields["lot_id"]
        if isinstance(field, ChoiceField):
            field.choices = [("", "All in this tank"), *lot_choices(held)]
        if answers is not None or not held:
            del self.fields["lot_id"]

    def command(self, vessel: Vessel) -> LogFinding:
        given = dict(self.cleaned_data)
        lot_id = given.pop("lot_id", None) or (self.answers.lot_id if self.answers else None)
        return LogFinding(
            vessel_id=self.answers.vessel_id if self.answers else vessel.pk,
            lot_id=lot_id,
            answers_id=self.answers.pk if self.answers else None,
            **given,
        )


_SAMPLE = ("agent", "method", "sampled", "laboratory", "is_notifiable", "happened_at")
