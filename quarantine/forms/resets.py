"""Sheets of a tank's reset."""

from decimal import Decimal
from typing import Any

from django.forms import CharField, IntegerField, ModelChoiceField
from django.utils import timezone

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import CommandSheet, WallClockField
from quarantine.commands.resets import StartReset, TakeResetStep
from quarantine.models import TankReset
from quarantine.queries.resets import chlorine_readings
from quarantine.rules.resets import BATHS, CHLORINE_ZERO
from tanks.models import Reading, Vessel


class ReadingChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    """Readings by what they say and when, by the clock that is active."""

    def label_from_instance(self, reading: Any) -> str:
        when = timezone.localtime(reading.happened_at)
        return f"{reading.as_entered} {reading.unit} as Cl₂, {when:%d %b %Y, %H:%M}"


class ResetSheet(CommandSheet):
    why = CharField(max_length=200, help_text="Such as: white spots in the last lot.")
    chlorine_mg_l = NumberField(
        label="Chlorine of the bath",
        unit="mg/L",
        basis="Cl2",
        low=1,
        high=1000,
        initial=Decimal(int(BATHS[0].chlorine_mg_l)),
    )
    contact_minutes = IntegerField(
        label="Contact time",
        min_value=1,
        initial=BATHS[0].contact_minutes,
        widget=BigNumber({"inputmode": "numeric"}, unit="min"),
        error_messages={"invalid": "Write a whole number, such as 60."},
    )
    happened_at = WallClockField(label="Since when it stands empty", initial=timezone.now)

    def command(self, vessel: Vessel) -> StartReset:
        return StartReset(vessel_id=vessel.pk, **self.cleaned_data)


class ResetStepSheet(CommandSheet):
    """The next step of one reset; only the reading of chlorine asks for more than when."""

    happened_at = WallClockField(label="Done at", initial=timezone.now)
    reading = ReadingChoice(
        label="Reading of total chlorine", queryset=Reading.objects.none(), required=False
    )
    note = CharField(max_length=200, required=False)

    def __init__(self, *args: Any, reset: TankReset, step: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.reset, self.step = reset, step
        if step != CHLORINE_ZERO:
            del self.fields["reading"]
            return
        found = [row.pk for row in chlorine_readings(reset)]
        self.offer("reading", Reading.objects.filter(pk__in=found).order_by("-happened_at"))
        self.initial.setdefault("reading", found[0] if found else None)

    def command(self) -> TakeResetStep:
        given = dict(self.cleaned_data)
        reading = given.pop("reading", None)
        return TakeResetStep(
            reset_id=self.reset.pk,
            step=self.step,
            reading_id=reading.pk if reading else None,
            **given,
        )
