"""Three taps: the tank, the lot, the count. The rest has an honest beginning and can be mended."""

from collections.abc import Sequence
from typing import Any, ClassVar, Final

from django.forms import CharField, ChoiceField, IntegerField, Textarea
from django.utils import timezone

from facility.forms.numbers import BigNumber
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from quarantine.commands.deaths import LogDeath, WithdrawDeath
from quarantine.commands.necropsies import LogNecropsy, SetCarcass
from quarantine.forms.observations import lot_choices, photo_field, signs_field
from quarantine.models import Cause, Death
from quarantine.queries.books import Held
from tanks.models import Vessel

MORE: Final = "more"
_FEW: Final = [(str(n), str(n)) for n in range(1, 6)]
_WHOLE_NUMBER: Final = {"invalid": "Write a whole number, such as 12."}


def _number(label: str, **options: Any) -> IntegerField:
    return IntegerField(
        label=label,
        min_value=1,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages=_WHOLE_NUMBER,
        **options,
    )


class DeathSheet(CommandSheet):
    problem_title: ClassVar[str] = "Not recorded yet"
    lot_id = ChoiceField(label="Which lot", widget=Segmented({"class": "segmented rows"}))
    few = ChoiceField(
        label="How many",
        choices=[*_FEW, (MORE, "more")],
        widget=Segmented(),
    )
    count = _number("The number", required=False, help_text="Where it is more than 5.")
    cause = ChoiceField(label="Cause", choices=Cause.choices, initial=Cause.UNKNOWN)
    carcass = ChoiceField(
        label="Carcass", choices=Death.Carcass.choices, initial=Death.Carcass.NECROPSY
    )
    kind = ChoiceField(
        label="How",
        choices=[("DIED", "Found dead"), ("EUTHANISED", "Euthanised")],
        initial="DIED",
        widget=Segmented(),
        help_text="Only by a lawful method and by somebody trained in it.",
    )
    alive_before = _number(
        "How many there were before",
        required=False,
        help_text="Empty: what the book carries forward.",
    )
    alive_known = ChoiceField(
        label="How that is known", choices=Death.Known.choices, initial="BOOK", widget=Segmented()
    )
    last_seen_alive_at = WallClockField(label="Last seen alive", required=False)
    signs = signs_field()
    photo = photo_field()
    note = CharField(label="In a few words", max_length=300, required=False)
    happened_at = WallClockField(label="Found at", initial=timezone.now)
    rare: ClassVar[tuple[str, ...]] = (
        "kind",
        "alive_before",
        "alive_known",
        "last_seen_alive_at",
        "signs",
        "photo",
        "note",
        "happened_at",
    )
    rare_title: ClassVar[str] = "More: euthanised, counted, signs, photo, another time"

    def __init__(self, *args: Any, held: Sequence[Held], **options: Any) -> None:
        first = {"lot_id": str(held[0].lot.pk)} if len(held) == 1 else {}
        super().__init__(*args, **{"initial": first} | options)
        field = self.fields["lot_id"]
        if isinstance(field, ChoiceField):
            field.choices = lot_choices(held)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("few") == MORE and not given.get("count"):
            self.add_error("count", "Write how many died.")
        if given.get("few") not in {None, MORE}:
            given["count"] = int(given["few"])
        if "OTHER" in given.get("signs", []) and not given.get("note"):
            self.add_error("note", "Say in a few words what else was seen.")
        return given

    def command(self, vessel: Vessel, *, photos: tuple[Any, ...] = ()) -> LogDeath:
        given = {k: v for k, v in self.cleaned_data.items() if k not in {"photo", "few"}}
        return LogDeath(
            vessel_id=vessel.pk, photos=photos, **given | {"signs": tuple(given["signs"])}
        )


class NecropsySheet(CommandSheet):
    examined = _number("How many were opened")
    performed_by = CharField(label="Opened by", max_length=120)
    gross = CharField(
        label="What was seen",
        max_length=600,
        widget=Textarea({"rows": 4}),
        help_text="Skin, fins, gills, eyes, organs, gut; wet mounts under the microscope.",
    )
    cause = ChoiceField(label="Cause", choices=Cause.choices, initial=Cause.UNKNOWN)
    submitted = CharField(
        label="Sent to a laboratory",
        max_length=200,
        required=False,
        help_text="What, and where to; its result is kept as a finding.",
    )
    photo = photo_field()
    happened_at = WallClockField(label="Opened at", initial=timezone.now)

    def command(self, death: Death, *, photos: tuple[Any, ...] = ()) -> LogNecropsy:
        given = {name: value for name, value in self.cleaned_data.items() if name != "photo"}
        return LogNecropsy(death_id=death.pk, photos=photos, **given)


class CarcassSheet(CommandSheet):
    carcass = ChoiceField(label="The carcass is now", choices=Death.Carcass.choices)
    note = CharField(label="Where", max_length=200, required=False)
    happened_at = WallClockField(label="Since", initial=timezone.now)

    def command(self, death: Death) -> SetCarcass:
        return SetCarcass(death_id=death.pk, **self.cleaned_data)


class WithdrawDeathSheet(CommandSheet):
    reason = CharField(
        label="Why", max_length=300, help_text="Such as: it was hiding; the wrong lot."
    )

    def command(self, death: Death) -> WithdrawDeath:
        return WithdrawDeath(death_id=death.pk, **self.cleaned_data)
