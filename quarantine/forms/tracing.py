"""What to trace, and what to hold of it."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from django.forms import (
    CharField,
    CheckboxSelectMultiple,
    ChoiceField,
    HiddenInput,
    MultipleChoiceField,
    MultipleHiddenInput,
)
from django.utils import timezone

from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Site
from quarantine.commands.tracing import HoldTraced
from quarantine.rules.tracing import Kind

DAYS: Final = 30
DIRECTIONS: Final = (
    ("both", "Both ways"),
    ("forward", "Where it could have gone"),
    ("backward", "Where it could have come from"),
)


KINDS: Final = tuple((kind.value, kind.value.capitalize()) for kind in Kind)


def usual_since() -> datetime:
    return timezone.now() - timedelta(days=DAYS)


class TraceSheet(Sheet):
    """Asked by address, so that a trace can be sent to somebody else."""

    what = CharField(
        label="From what",
        max_length=60,
        help_text="Code of a tank, lot or kit, a user name, or a consignment's reference.",
    )
    direction = ChoiceField(
        choices=DIRECTIONS, initial="both", widget=Segmented({"class": "segmented rows"})
    )
    since = WallClockField(label="Since", initial=usual_since)
    without = MultipleChoiceField(
        label="Leave out",
        choices=KINDS,
        required=False,
        widget=CheckboxSelectMultiple(),
        help_text="To see what remains without a kind of contact, such as people.",
    )


class HoldTracedSheet(CommandSheet):
    problem_title = "Nothing is held yet"
    why = CharField(max_length=300, help_text="Such as: white spots in A-03.")
    about = CharField(widget=HiddenInput, max_length=120)
    direction = CharField(widget=HiddenInput, max_length=10)
    since = WallClockField(widget=HiddenInput)
    without = MultipleChoiceField(choices=KINDS, required=False, widget=MultipleHiddenInput())

    def command(self, site: Site, *, at: datetime) -> HoldTraced:
        given = dict(self.cleaned_data)
        without = tuple(given.pop("without"))
        return HoldTraced(site_id=site.pk, happened_at=at, without=without, **given)


def hold_sheet(
    about: str, direction: str, since: datetime, without: Sequence[str]
) -> HoldTracedSheet:
    """A sheet for the trace that is on the page."""
    given: dict[str, Any] = {"about": about, "direction": direction, "since": since}
    return HoldTracedSheet(initial=given | {"without": list(without)})
