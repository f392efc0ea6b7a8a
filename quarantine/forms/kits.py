"""Sheets of nets, siphons and buckets, as wet hands fill them in."""

from secrets import token_bytes
from typing import Any, ClassVar

from django.forms import CharField, ChoiceField, HiddenInput, IntegerField, ModelChoiceField
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Area, Site
from facility.rules.codes import new_code
from quarantine.commands.kit_uses import CleanKit, UseKit
from quarantine.commands.kits import OpenKit, RetireKit
from quarantine.models import Kit, KitCleaning
from tanks.forms.asking import AskingSheet
from tanks.models import Vessel


def _fresh_label() -> str:
    return new_code(token_bytes(8))


class KitSheet(CommandSheet):
    kind = ChoiceField(choices=Kit.Kind.choices)
    code = CharField(
        label="Code people say",
        max_length=20,
        help_text="Such as N-03; it is printed beside the label.",
    )
    name = CharField(max_length=120, required=False, help_text="How it is told from the others.")
    area = ModelChoiceField(
        label="Belongs in",
        queryset=Area.objects.none(),
        required=False,
        empty_label="no one area",
    )
    label = CharField(widget=HiddenInput, initial=_fresh_label, max_length=7)

    def __init__(self, *args: Any, site: Site, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self.offer("area", Area.objects.filter(site=site).order_by("name", "pk"))

    def command(self) -> OpenKit:
        given = dict(self.cleaned_data)
        area = given.pop("area")
        return OpenKit(site_id=self.site.pk, area_id=area.pk if area else None, **given)


class RetireKitSheet(Sheet):
    happened_at = WallClockField(label="Out of use since", initial=timezone.now)

    def command(self, kit: Kit) -> RetireKit:
        return RetireKit(kit_id=kit.pk, **self.cleaned_data)


class KitUseSheet(AskingSheet):
    """Where it was used; asked once when it comes uncleaned from another water."""

    sealed: ClassVar[tuple[str, ...]] = ("vessel", "happened_at")
    vessel = ModelChoiceField(
        label="Used in", queryset=Vessel.objects.none(), empty_label="choose a tank"
    )
    happened_at = WallClockField(label="When", initial=timezone.now)
    note = CharField(max_length=200, required=False, help_text="What for, if it helps.")

    def __init__(self, *args: Any, kit: Kit, **options: Any) -> None:
        super().__init__(*args, **options)
        self.kit = kit
        here = Vessel.objects.filter(site=kit.site, retired_at=None)
        self.offer("vessel", here.order_by("code"))

    def command(self) -> UseKit:
        given = dict(self.cleaned_data)
        return UseKit(
            kit_id=self.kit.pk,
            vessel_id=given.pop("vessel").pk,
            confirmed=self.confirmed(),
            **given,
        )


class KitCleaningSheet(CommandSheet):
    means = ChoiceField(
        label="How",
        choices=KitCleaning.Means.choices,
        initial=KitCleaning.Means.DISINFECTED,
        widget=Segmented({"class": "segmented rows"}),
    )
    disinfectant = CharField(label="Which disinfectant, how strong", max_length=80, required=False)
    minutes = IntegerField(
        label="Minutes in contact",
        min_value=1,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}, unit="min"),
        error_messages={"invalid": "Write a whole number, such as 10."},
    )
    happened_at = WallClockField(label="When", initial=timezone.now)

    def command(self, kit: Kit) -> CleanKit:
        given = self.cleaned_data
        is_bath = given["means"] == KitCleaning.Means.DISINFECTED
        return CleanKit(
            id=given["id"],
            kit_id=kit.pk,
            means=given["means"],
            disinfectant=given["disinfectant"] if is_bath else "",
            minutes=given["minutes"] if is_bath else None,
            happened_at=given["happened_at"],
        )
