from secrets import token_bytes
from typing import Any

from django.forms import CharField, ModelChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Sheet, WallClockField
from facility.models import Area, Site
from facility.rules.codes import new_code
from tanks.commands.vessels import OpenVessel, Relabel, RenameVessel, RetireVessel
from tanks.models import Vessel

_CODE_HELP = "What people say and write, such as A-07. Labels carry codes of their own."


class VesselSheet(CommandSheet):
    area = ModelChoiceField(queryset=Area.objects.none(), empty_label=None)
    code = CharField(max_length=20, help_text=_CODE_HELP)
    name = CharField(max_length=120, required=False, help_text="A longer name, if it has one.")
    happened_at = WallClockField(
        label="Stands here since",
        required=False,
        help_text="Leave empty for now. A tank that ran before may take records from then on.",
    )
    rare = ("happened_at",)

    def __init__(self, *args: Any, site: Site, kind: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site, self.kind = site, kind
        self.offer("area", site.areas.order_by("hygiene_rank", "name", "pk"))

    def command(self) -> OpenVessel:
        given = self.cleaned_data
        return OpenVessel(
            id=given["id"],
            site_id=self.site.pk,
            area_id=given["area"].pk,
            kind=self.kind,
            code=given["code"],
            name=given["name"],
            label=new_code(token_bytes(8)),
            happened_at=given["happened_at"],
        )


class RenameSheet(Sheet):
    code = CharField(max_length=20, help_text=_CODE_HELP)
    name = CharField(max_length=120, required=False)

    def command(self, vessel: Vessel) -> RenameVessel:
        return RenameVessel(vessel_id=vessel.pk, **self.cleaned_data)


class RetireSheet(Sheet):
    happened_at = WallClockField(label="Out of use since", initial=timezone.now)

    def command(self, vessel: Vessel) -> RetireVessel:
        return RetireVessel(vessel_id=vessel.pk, **self.cleaned_data)


class RelabelSheet(Sheet):
    def command(self, vessel: Vessel) -> Relabel:
        return Relabel(vessel_id=vessel.pk, label=new_code(token_bytes(8)))


class MomentSheet(Sheet):
    """Which moment to look at; empty is now."""

    at = WallClockField(label="As it was on", required=False)
