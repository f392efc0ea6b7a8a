"""Sheets of the stay: holds, moves, releases and the stocking plan."""

from decimal import Decimal
from typing import Any, ClassVar
from uuid import UUID

from django.forms import CharField, ChoiceField, HiddenInput, IntegerField, ModelChoiceField
from django.utils import timezone

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import CalendarField, CommandSheet, Segmented, WallClockField
from facility.forms.signing import SigningSheet
from quarantine.commands.holds import LiftHold, PlaceHold
from quarantine.commands.moves import MoveAnimals
from quarantine.commands.plans import DropPlannedEntry, PlanEntry
from quarantine.commands.releases import ReleaseLot
from quarantine.models import Hold, Lot, Move, Release, Species
from quarantine.queries.books import lots_at, lots_in
from tanks.models import Vessel
from tanks.queries.waters import standing

MEANING = "I have read every requirement on this page and release these animals."
_WHOLE = "Write a whole number, such as 12."


def _count(label: str = "How many") -> IntegerField:
    return IntegerField(
        label=label,
        min_value=1,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages={"invalid": _WHOLE},
    )


class VesselChoice(ModelChoiceField):  # type: ignore[type-arg]  # not generic when run
    """Tanks by the code people say, with the area they stand in."""

    def label_from_instance(self, obj: Vessel) -> str:
        return f"{obj.code}{f' {obj.name}' if obj.name else ''}, {obj.area.name}"


class LotChoice(ModelChoiceField):  # type: ignore[type-arg]  # not generic when run
    def label_from_instance(self, obj: Lot) -> str:
        return f"{obj.code} {obj.species.scientific_name}"


class HoldSheet(CommandSheet):
    kind = ChoiceField(label="Kind", choices=Hold.Kind.choices, widget=Segmented)
    why = CharField(label="Why", max_length=300, help_text="Such as: white spots on two of them.")
    happened_at = WallClockField(label="Since", initial=timezone.now)
    rare = ("happened_at",)

    def command(self, *, lot: Lot | None, vessel: Vessel | None) -> PlaceHold:
        return PlaceHold(
            lot_id=lot.pk if lot else None,
            vessel_id=vessel.pk if vessel else None,
            **self.cleaned_data,
        )


class LiftSheet(CommandSheet):
    why = CharField(label="Why it may be lifted", max_length=300)
    happened_at = WallClockField(label="When", initial=timezone.now)
    rare = ("happened_at",)

    def command(self, hold: Hold) -> LiftHold:
        return LiftHold(hold_id=hold.pk, **self.cleaned_data)


class MoveSheet(CommandSheet):
    """Animals of one lot out of one tank; with a release, whither is settled."""

    lot = LotChoice(label="Which lot", queryset=Lot.objects.none(), empty_label=None)
    to_vessel = VesselChoice(label="Into", queryset=Vessel.objects.none(), empty_label=None)
    count = _count()
    method = ChoiceField(
        label="How", choices=Move.Method.choices, widget=Segmented, initial=Move.Method.NET
    )
    water_litres = NumberField(
        label="Water that went along", unit="L", low=0, initial=0, max_digits=8, decimal_places=2
    )
    acclimation = CharField(
        label="Acclimation",
        max_length=200,
        required=False,
        help_text="How they were brought over, such as: drip, 40 min.",
    )
    happened_at = WallClockField(label="When", initial=timezone.now)
    rare: ClassVar[tuple[str, ...]] = ("happened_at",)
    problem_title = "Not moved yet"

    def __init__(
        self, *args: Any, vessel: Vessel, release: Release | None = None, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.vessel, self.release = vessel, release
        self.offer("lot", _lots_in(vessel))
        self.offer("to_vessel", _others(vessel))
        if release is not None:
            self.initial["lot"] = release.lot_id
            self.initial["to_vessel"] = release.destination_id
            self.initial["count"] = release.count

    def command(self) -> MoveAnimals:
        given = dict(self.cleaned_data)
        if self.release and given["happened_at"] == _minute(self.release):
            # The sheet's clock tells minutes: the minute of the signature is not before it.
            given["happened_at"] = self.release.happened_at
        return MoveAnimals(
            lot_id=given.pop("lot").pk,
            from_vessel_id=self.vessel.pk,
            to_vessel_id=given.pop("to_vessel").pk,
            release_id=self.release.pk if self.release else None,
            **given,
        )


class WhitherSheet(CommandSheet):
    """Asked before a release is judged: how many, where to, and what they will be fed there."""

    id = CharField(required=False, widget=HiddenInput)  # type: ignore[assignment]  # nothing is sent
    destination = VesselChoice(label="Into", queryset=Vessel.objects.none(), empty_label=None)
    count = _count()
    feed_g_per_day = NumberField(
        label="Feed they will get there",
        unit="g/day",
        low=0,
        max_digits=8,
        decimal_places=2,
        help_text="For all of them, as fed.",
    )

    def __init__(self, *args: Any, vessel: Vessel, **options: Any) -> None:
        super().__init__(*args, **options)
        self.offer("destination", _others(vessel))


class ReleaseSheet(SigningSheet):
    problem_title = "Not released"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **{"initial": {"meaning": MEANING}} | options)

    def command(
        self, lot: Lot, vessel: Vessel, *, destination: Vessel, count: int, feed: Decimal
    ) -> ReleaseLot:
        given = self.cleaned_data
        return ReleaseLot(
            id=given["id"],
            lot_id=lot.pk,
            vessel_id=vessel.pk,
            destination_id=destination.pk,
            count=count,
            feed_g_per_day=feed,
            meaning=given["meaning"],
        )


class PlanSheet(CommandSheet):
    lot = LotChoice(
        label="Lot", queryset=Lot.objects.none(), required=False, empty_label="Not here yet"
    )
    species = ModelChoiceField(
        label="Or the species to be bought",
        queryset=Species.objects.none(),
        required=False,
        empty_label="As the lot",
    )
    count = _count()
    planned_on = CalendarField(label="On")
    feed_g_per_day = NumberField(
        label="Feed they will get", unit="g/day", low=0, max_digits=8, decimal_places=2
    )
    problem_title = "Not planned yet"

    def __init__(self, *args: Any, vessel: Vessel, **options: Any) -> None:
        super().__init__(*args, **options)
        here = {one.lot.pk for one in lots_at(vessel.site, at=timezone.now())}
        lots = Lot.objects.filter(pk__in=here).select_related("species")
        self.offer("lot", lots.order_by("code"))
        self.offer("species", Species.objects.filter(site=vessel.site).order_by("scientific_name"))
        self.fields["planned_on"].widget.input_type = "date"

    def command(self, vessel: Vessel) -> PlanEntry:
        given = dict(self.cleaned_data)
        lot, species = given.pop("lot"), given.pop("species")
        return PlanEntry(
            vessel_id=vessel.pk,
            lot_id=lot.pk if lot else None,
            species_id=species.pk if species and not lot else None,
            **given,
        )


class DropSheet(CommandSheet):
    reason = CharField(label="Why it is off the plan", max_length=300)

    def command(self, planned_id: UUID) -> DropPlannedEntry:
        return DropPlannedEntry(planned_id=planned_id, **self.cleaned_data)


def _minute(release: Release) -> Any:
    return release.happened_at.replace(second=0, microsecond=0)


def _lots_in(vessel: Vessel) -> Any:
    ids = {held.lot.pk for held in lots_in([vessel.pk], at=timezone.now())}
    return Lot.objects.filter(pk__in=ids).select_related("species").order_by("code")


def _others(vessel: Vessel) -> Any:
    rows = standing(vessel.site, timezone.now()).exclude(pk=vessel.pk)
    return rows.order_by("area__hygiene_rank", "code", "pk")
