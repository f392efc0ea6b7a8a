from typing import Any

from django.forms import CharField, ModelChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Sheet, WallClockField
from facility.models import Person
from facility.queries import memberships
from tanks.commands.connections import CloseValve, OpenValve
from tanks.commands.valve_loans import LendValve
from tanks.models import Connection, Vessel
from tanks.queries import estate


class OpenValveSheet(CommandSheet):
    system = ModelChoiceField(queryset=Vessel.objects.none(), empty_label=None)
    happened_at = WallClockField(label="Open since", initial=timezone.now)
    valve = CharField(
        label="Which valve",
        max_length=60,
        required=False,
        help_text="As it is marked on the pipe.",
    )

    def __init__(self, *args: Any, vessel: Vessel, **options: Any) -> None:
        super().__init__(*args, **options)
        self.vessel = vessel
        self.offer("system", estate.systems(vessel.site, but=vessel))
        self.initial["system"] = estate.likely_system(vessel)
        if (last := estate.latest_connection(vessel)) and last.system == self.initial["system"]:
            self.initial["valve"] = last.valve

    def command(self) -> OpenValve:
        given = self.cleaned_data
        return OpenValve(
            id=given["id"],
            vessel_id=self.vessel.pk,
            system_id=given["system"].pk,
            valve=given["valve"],
            happened_at=given["happened_at"],
        )


class CloseValveSheet(Sheet):
    happened_at = WallClockField(label="Closed since", initial=timezone.now)

    def command(self, connection: Connection) -> CloseValve:
        return CloseValve(connection_id=connection.pk, **self.cleaned_data)


class LendValveSheet(CommandSheet):
    """Closed for a while: everything but the moment is about opening it again."""

    happened_at = WallClockField(label="Closed since", initial=timezone.now)
    why = CharField(label="Why", max_length=200, help_text="Such as: bath treatment, day 1 of 3.")
    due_back_at = WallClockField(label="To be opened again by")
    owner = ModelChoiceField(
        label="Who opens it again", queryset=Person.objects.none(), empty_label=None
    )

    def __init__(self, *args: Any, connection: Connection, **options: Any) -> None:
        super().__init__(*args, **options)
        self.connection = connection
        self.offer("owner", memberships.keepers_at(connection.vessel.site))
        if connection.period.upper is not None:
            self.fields["happened_at"].label = "From now on"

    def command(self) -> LendValve:
        given = dict(self.cleaned_data)
        return LendValve(connection_id=self.connection.pk, owner_id=given.pop("owner").pk, **given)
