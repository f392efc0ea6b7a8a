"""Sheets that accept an alert, clear it with a cause, and set planned work."""

from collections.abc import Iterable
from datetime import timedelta
from typing import Any, ClassVar

from django.forms import CharField, ChoiceField
from django.utils import timezone

from facility.commands.alerts import AcceptAlert, ClearAlert
from facility.commands.maintenance import SetMaintenance
from facility.forms.sheets import CommandSheet, Segmented, Sheet, WallClockField
from facility.models import Alert, Maintenance
from facility.rules.alerts import CAUSES

_OTHER = "OTHER"
_NOT_YET = "NOT_YET"
_USUAL = timedelta(hours=2)


class AcceptSheet(Sheet):
    """Taking it on; the signs' advice is offered as what will be done."""

    will = ChoiceField(
        label="What you do about it",
        widget=Segmented({"class": "segmented rows"}),
        initial=_NOT_YET,
    )
    act = CharField(label="In your words", max_length=200, required=False)
    problem_title: ClassVar[str] = "Not accepted yet"

    def __init__(self, *args: Any, advice: Iterable[str], **options: Any) -> None:
        super().__init__(*args, **options)
        offered = [(words, words) for words in dict.fromkeys(advice) if words]
        will = self.fields["will"]
        if isinstance(will, ChoiceField):
            will.choices = [
                (_NOT_YET, "I go and look first"),
                *offered,
                (_OTHER, "Something else, written below"),
            ]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("will") == _OTHER and not given.get("act", "").strip():
            self.add_error("act", "Write what you do, or choose another answer.")
        return given

    def command(self, alert: Alert) -> AcceptAlert:
        will, words = self.cleaned_data["will"], self.cleaned_data["act"].strip()
        offered = "" if will in {_OTHER, _NOT_YET} else will
        return AcceptAlert(alert_id=alert.pk, act=(words or offered)[:200])


class ClearSheet(Sheet):
    """A cause from the list, and whether anything had to be done."""

    cause = ChoiceField(
        label="What caused it",
        choices=list(CAUSES.items()),
        widget=Segmented({"class": "segmented"}),
    )
    action_needed = ChoiceField(
        label="Did anything have to be done?",
        choices=[("yes", "Yes"), ("no", "No, nothing")],
        widget=Segmented({"class": "segmented"}),
        help_text="A rule that calls for nothing too often shows up in the weekly view.",
    )
    act = CharField(label="What was done", max_length=200, required=False)
    cause_note = CharField(label="Anything to add", max_length=200, required=False)
    problem_title: ClassVar[str] = "The alert still stands"

    def command(self, alert: Alert) -> ClearAlert:
        given = self.cleaned_data
        return ClearAlert(
            alert_id=alert.pk,
            cause=given["cause"],
            cause_note=given["cause_note"],
            action_needed=given["action_needed"] == "yes",
            act=given["act"],
        )


class MaintenanceSheet(CommandSheet):
    """``offered`` are the subjects it may be about, by ledger key, each with its name."""

    about = ChoiceField(label="Where")
    why = CharField(label="What is done", max_length=200)
    begins_at = WallClockField(label="From", initial=timezone.now)
    ends_at = WallClockField(
        label="Until",
        initial=lambda: timezone.now() + _USUAL,
        help_text="A day at most; it ends by itself.",
    )

    def __init__(self, *args: Any, offered: Iterable[Any], **options: Any) -> None:
        super().__init__(*args, **options)
        where = self.fields["about"]
        if isinstance(where, ChoiceField):
            where.choices = list(offered)

    def command(self, under_way: Maintenance | None) -> SetMaintenance:
        """Work under way on the same subject is taken the place of, from when it began."""
        given = dict(self.cleaned_data)
        if under_way is None:
            return SetMaintenance(**given)
        given["begins_at"] = under_way.period.lower
        return SetMaintenance(replaces_id=under_way.pk, **given)
