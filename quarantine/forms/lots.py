"""Sheets of lots: opened, split, merged, counted, sold, sent off, missed, put right."""

from typing import Any, ClassVar, Final
from uuid import UUID

from django.forms import (
    CharField,
    CheckboxSelectMultiple,
    ChoiceField,
    DateTimeInput,
    IntegerField,
    ModelChoiceField,
    ModelMultipleChoiceField,
)
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Site
from quarantine.commands.counts import CorrectCount
from quarantine.commands.lots import OpenLot
from quarantine.commands.partings import MergeLots, SplitLot
from quarantine.commands.sales import AmendChange, ReportMissing, SellAnimals, SendOff
from quarantine.forms.arrivals import SpeciesChoice, whole
from quarantine.forms.stays import VesselChoice
from quarantine.models import CountChange, Lot, Species, Supplier
from quarantine.queries.books import Held
from tanks.models import Vessel
from tanks.queries.waters import standing

_WHOLE: Final = {"invalid": "Write a whole number, such as 12."}


def _count(label: str = "How many") -> IntegerField:
    return IntegerField(
        label=label,
        min_value=1,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages=_WHOLE,
    )


class LotSheet(CommandSheet):
    """A sheet about a lot in one of the tanks that hold it."""

    vessel = ChoiceField(label="Out of", widget=Segmented())
    happened_at = WallClockField(label="When", initial=timezone.now)
    rare = ("happened_at",)

    def __init__(self, *args: Any, lot: Lot, held: list[Held], **options: Any) -> None:
        super().__init__(*args, **options)
        self.lot = lot
        field = self.fields["vessel"]
        if isinstance(field, ChoiceField):
            field.choices = [
                (one.vessel.pk, f"{one.vessel.code}: {one.count} here") for one in held
            ]
        if len(held) == 1:
            field.initial = str(held[0].vessel.pk)

    def told(self) -> dict[str, Any]:
        given = dict(self.cleaned_data)
        return {"vessel_id": UUID(given.pop("vessel")), "lot_id": self.lot.pk, **given}


class SaleForm(LotSheet):
    problem_title: ClassVar[str] = "Not sold"
    count = _count()
    note = CharField(label="To whom, or receipt", max_length=300, required=False)

    def command(self) -> SellAnimals:
        return SellAnimals(**self.told())


class SendOffForm(LotSheet):
    problem_title: ClassVar[str] = "Not sent off"
    count = _count()
    destination = CharField(
        label="Where to", max_length=300, help_text="Name and place; the movement record keeps it."
    )

    def command(self) -> SendOff:
        return SendOff(**self.told())


class MissingForm(LotSheet):
    count = _count()
    note = CharField(
        label="How it was looked",
        max_length=300,
        help_text="Such as: emptied, floor searched.",
    )

    def command(self) -> ReportMissing:
        return ReportMissing(**self.told())


class SplitForm(LotSheet):
    count = _count("How many go into the new lot")
    sex = ChoiceField(label="Their sex", choices=Lot.Sex.choices, initial="UNKNOWN")
    note = CharField(label="Note", max_length=300, required=False)

    def command(self) -> SplitLot:
        return SplitLot(**self.told())


class CountForm(CommandSheet):
    problem_title: ClassVar[str] = "Not corrected"
    vessel = VesselChoice(label="In tank", queryset=Vessel.objects.none())
    counted = whole("Counted")
    reason = CharField(
        label="Why book and tank differ", max_length=300, help_text="Such as: counted at the move."
    )
    happened_at = WallClockField(label="Counted at", initial=timezone.now)
    rare = ("happened_at",)

    def __init__(self, *args: Any, lot: Lot, held: list[Held], **options: Any) -> None:
        super().__init__(*args, **options)
        self.lot = lot
        self.offer("vessel", standing(lot.site, timezone.now()))
        if held:
            self.fields["vessel"].initial = held[0].vessel.pk

    def command(self) -> CorrectCount:
        given = dict(self.cleaned_data)
        return CorrectCount(lot_id=self.lot.pk, vessel_id=given.pop("vessel").pk, **given)


class OpenLotForm(CommandSheet):
    made = ChoiceField(
        label="They",
        choices=[("FOUND", "were here when the book was opened"), ("BRED", "were bred here")],
        initial="FOUND",
        widget=Segmented({"class": "segmented rows"}),
    )
    species = SpeciesChoice(label="Species", queryset=Species.objects.none())
    vessel = VesselChoice(label="In tank", queryset=Vessel.objects.none())
    count = _count()
    supplier = ModelChoiceField(
        label="Supplier, if known", queryset=Supplier.objects.none(), required=False
    )
    parents = ModelMultipleChoiceField(
        label="Lots of the parents",
        queryset=Lot.objects.none(),
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
    )
    sex = ChoiceField(label="Sex", choices=Lot.Sex.choices, initial="UNKNOWN")
    note = CharField(label="Note", max_length=300, required=False)
    happened_at = WallClockField(label="Since", initial=timezone.now)
    rare = ("supplier", "parents", "sex", "note", "happened_at")
    rare_title = "Supplier, parents, sex, date"

    def __init__(self, *args: Any, site: Site, lots: list[Lot], **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self.offer("species", Species.objects.filter(site=site).order_by("scientific_name"))
        self.offer("vessel", standing(site, timezone.now()))
        self.offer("supplier", Supplier.objects.filter(site=site).order_by("name"))
        rows = Lot.objects.filter(pk__in=[lot.pk for lot in lots]).order_by("code")
        self.offer("parents", rows)

    def command(self) -> OpenLot:
        given = dict(self.cleaned_data)
        supplier, parents = given.pop("supplier"), given.pop("parents")
        return OpenLot(
            site_id=self.site.pk,
            species_id=given.pop("species").pk,
            vessel_id=given.pop("vessel").pk,
            supplier_id=supplier.pk if supplier else None,
            parents=tuple(lot.pk for lot in parents),
            **given,
        )


class MergeForm(CommandSheet):
    problem_title: ClassVar[str] = "Not merged"
    others = ModelMultipleChoiceField(
        label="Together with",
        queryset=Lot.objects.none(),
        widget=CheckboxSelectMultiple({"class": "segmented"}),
    )
    note = CharField(label="Note", max_length=300, required=False)
    happened_at = WallClockField(label="When", initial=timezone.now)
    rare = ("happened_at",)

    def __init__(self, *args: Any, lot: Lot, lots: list[Lot], **options: Any) -> None:
        super().__init__(*args, **options)
        self.lot = lot
        ids = [one.pk for one in lots if one.species_id == lot.species_id and one != lot]
        self.offer("others", Lot.objects.filter(pk__in=ids).order_by("code"))
        if not ids:
            self.fields["others"].help_text = "No other lot of this species is here to merge with."

    def command(self) -> MergeLots:
        given = dict(self.cleaned_data)
        others = given.pop("others")
        return MergeLots(lot_ids=(self.lot.pk, *(one.pk for one in others)), **given)


class AmendChangeForm(CommandSheet):
    problem_title: ClassVar[str] = "Not put right"
    count = whole("How many after all", help_text="0 takes the entry back.")
    reason = CharField(label="Why", max_length=300)

    def command(self, change: CountChange) -> AmendChange:
        return AmendChange(change_id=change.pk, **self.cleaned_data)


class InventoryForm(Sheet):
    """As of when, and as known when; both empty is now."""

    at = WallClockField(
        label="As of",
        required=False,
        widget=DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
    )
    known = WallClockField(
        label="As it was known by",
        required=False,
        widget=DateTimeInput({"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        help_text="Empty: with everything written down or put right since.",
    )
