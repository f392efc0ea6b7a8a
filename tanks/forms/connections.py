from typing import Any

from django.forms import CharField, ModelChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Sheet, WallClockField
from tanks.commands.connections import CloseValve, OpenValve
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
