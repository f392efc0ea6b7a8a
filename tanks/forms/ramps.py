"""How many days the way to the stocking value takes."""

from typing import Any, Final

from django.forms import ChoiceField, DateInput, HiddenInput, IntegerField, TextInput
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import CalendarField, CommandSheet
from tanks.commands.ramps import PlanRamp
from tanks.models import Cycle, Ramp


class RampSheet(CommandSheet):
    of = ChoiceField(choices=Ramp.Of.choices, widget=HiddenInput)
    end = NumberField(label="To", low=-2, high=42, max_digits=5, decimal_places=2)
    days = IntegerField(
        label="In how many days",
        min_value=1,
        max_value=30,
        widget=TextInput({"class": "big", "inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "invalid": "Write a whole number of days.",
            "min_value": "Write 1 day or more.",
            "max_value": "Write 30 days or fewer.",
        },
        help_text="One even step a day.",
    )
    starts_on = CalendarField(
        label="First step on",
        initial=timezone.localdate,
        widget=DateInput({"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": "Write a date, such as 2026-12-01."},
    )

    def __init__(self, *args: Any, cycle: Cycle, unit: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.cycle = cycle
        self.fields["end"].widget.unit = unit

    def given(self) -> dict[str, Any]:
        """What has been filled in so far and can be read, sent or not."""
        if self.is_bound:
            self.is_valid()
            return self.cleaned_data
        return {
            name: self.get_initial_for_field(field, name) for name, field in self.fields.items()
        }

    def draft(self) -> PlanRamp | None:
        given = self.given()
        if any(given.get(name) is None for name in _NEEDED):
            return None
        return PlanRamp(cycle_id=self.cycle.pk, **{name: given[name] for name in _NEEDED})


_NEEDED: Final = ("id", "of", "end", "days", "starts_on")
