"""One sheet for all tanks of an area that hold animals: those that are well, in one go."""

from collections.abc import Iterator, Sequence
from typing import Any, ClassVar
from uuid import UUID, uuid5

from django.forms import CheckboxSelectMultiple, ChoiceField, MultipleChoiceField
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from quarantine.commands.observations import LogObservation
from quarantine.queries.looks import TankHeld

ATE, NOT_OFFERED = "ATE", "NOT_OFFERED"


class AllWellSheet(CommandSheet):
    """Every tank ticked was looked at: breathing calm, no signs seen."""

    problem_title: ClassVar[str] = "Not saved yet"
    feeding = ChoiceField(
        label="Feeding",
        choices=[(ATE, "All ate"), (NOT_OFFERED, "Nothing offered")],
        widget=Segmented(),
    )
    vessels = MultipleChoiceField(
        label="Looked at: breathing calm, no signs seen",
        widget=CheckboxSelectMultiple({"class": "segmented rows"}),
        help_text="Take the tick off any tank that is not well or was not looked at.",
        error_messages={"required": "Leave at least one tank ticked."},
    )
    happened_at = WallClockField(label="Looked at", initial=timezone.now)

    def __init__(self, *args: Any, tanks: Sequence[TankHeld], **options: Any) -> None:
        every = [str(one.vessel.pk) for one in tanks]
        super().__init__(*args, **{"initial": {"vessels": every}} | options)
        field = self.fields["vessels"]
        if isinstance(field, MultipleChoiceField):
            field.choices = [(str(one.vessel.pk), _told(one)) for one in tanks]

    def commands(self) -> Iterator[LogObservation]:
        """One look for each tank; sent again unchanged it is the same."""
        given = self.cleaned_data
        for vessel in given["vessels"]:
            yield LogObservation(
                id=uuid5(given["id"], f"{vessel} {given['feeding']} {given['happened_at']}"),
                vessel_id=UUID(vessel),
                happened_at=given["happened_at"],
                feeding=given["feeding"],
                respiration="CALM",
            )


def _told(one: TankHeld) -> str:
    lots = ", ".join(f"{held.lot.code} {held.lot.species}" for held in one.lots)
    return f"{one.vessel.code}: {one.count} of {lots}"
