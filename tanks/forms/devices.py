from typing import Any

from django.forms import CharField, ChoiceField, ModelChoiceField, TypedChoiceField
from django.utils import timezone

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Person
from facility.queries import memberships
from tanks.commands.devices import InstallDevice, RemoveDevice, SwitchDevice
from tanks.models import Device, Vessel


class DeviceSheet(CommandSheet):
    kind = ChoiceField(choices=Device.Kind.choices, widget=Segmented())
    name = CharField(max_length=80, help_text="Which one, such as UV at the return.")
    biofilter_area_m2 = NumberField(
        label="Media area of a biofilter",
        unit="m²",
        low=0,
        required=False,
        help_text="Specific area of the media times its litres. Only for a biofilter.",
    )
    happened_at = WallClockField(label="In place since", initial=timezone.now)

    def command(self, vessel: Vessel) -> InstallDevice:
        return InstallDevice(vessel_id=vessel.pk, **self.cleaned_data)


class RemoveDeviceSheet(Sheet):
    happened_at = WallClockField(label="Taken out", initial=timezone.now)

    def command(self, device: Device) -> RemoveDevice:
        return RemoveDevice(device_id=device.pk, **self.cleaned_data)


class SwitchSheet(CommandSheet):
    """Off is a loan with an owner and a time to be back."""

    is_on = TypedChoiceField(
        label="It is now",
        choices=[("off", "Off, on loan"), ("on", "On again")],
        coerce=lambda word: word == "on",
        widget=Segmented(),
    )
    why = CharField(
        label="Why it is off",
        max_length=200,
        required=False,
        help_text="Empty when it is on again.",
    )
    due_back_at = WallClockField(
        label="To be on again by",
        required=False,
        help_text="Everything turned off comes back at a named time; empty when it is on again.",
    )
    owner = ModelChoiceField(
        label="Who turns it on again", queryset=Person.objects.none(), empty_label=None
    )
    happened_at = WallClockField(label="Since", initial=timezone.now)

    def __init__(self, *args: Any, device: Device, **options: Any) -> None:
        super().__init__(*args, **options)
        self.device = device
        self.offer("owner", memberships.keepers_at(device.vessel.site))

    def command(self) -> SwitchDevice:
        given = self.cleaned_data
        return SwitchDevice(
            id=given["id"],
            device_id=self.device.pk,
            is_on=given["is_on"],
            why=given["why"],
            due_back_at=given["due_back_at"],
            owner_id=given["owner"].pk,
            happened_at=given["happened_at"],
        )
