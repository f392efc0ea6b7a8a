from typing import Any, ClassVar

from django.forms import CharField, ChoiceField, ModelChoiceField

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet
from tanks.commands.readings import CorrectReading
from tanks.commands.withdrawals import WithdrawEntry
from tanks.forms.offers import pair, unit_choices
from tanks.models import Method, Reading
from tanks.rules.entries import LONGEST


class CorrectionSheet(CommandSheet):
    """A new value for a reading, with the reason."""

    problem_title: ClassVar[str] = "Not corrected yet"
    rare = ("measure", "method")
    rare_title: ClassVar[str] = "Unit and method"
    text = CharField(label="It should read", max_length=LONGEST, widget=BigNumber())
    reason = CharField(
        label="Why", max_length=300, help_text="In a few words, such as: misread the second digit."
    )
    measure = ChoiceField(label="Unit")
    method = ModelChoiceField(label="Method", queryset=Method.objects.none(), empty_label=None)

    def __init__(self, *args: Any, reading: Reading, **options: Any) -> None:
        now = {
            "text": reading.as_entered,
            "measure": pair(reading.unit, reading.basis),
            "method": reading.method_id,
        }
        super().__init__(*args, initial=now, **options)
        self.reading = reading
        if isinstance(field := self.fields["measure"], ChoiceField):
            field.choices = unit_choices(reading.parameter)
        same = Method.objects.filter(site=reading.vessel.site_id, parameter=reading.parameter)
        self.offer("method", same.filter(retired_at=None).order_by("name"))

    def command(self) -> CorrectReading:
        unit, _, basis = self.cleaned_data["measure"].partition("|")
        return CorrectReading(
            id=self.cleaned_data["id"],
            reading_id=self.reading.pk,
            text=self.cleaned_data["text"],
            unit=unit,
            basis=basis,
            method_id=self.cleaned_data["method"].pk,
            reason=self.cleaned_data["reason"],
        )


class WithdrawalSheet(CommandSheet):
    problem_title: ClassVar[str] = "Not withdrawn yet"
    reason = CharField(
        label="Why", max_length=300, help_text="In a few words, such as: written to the wrong tank."
    )

    def command(self, *, model: str, fact_id: Any) -> WithdrawEntry:
        return WithdrawEntry(
            id=self.cleaned_data["id"],
            model=model,
            fact_id=fact_id,
            reason=self.cleaned_data["reason"],
        )
