from collections.abc import Iterable
from typing import Any

from django.forms import CharField, ChoiceField, ModelChoiceField, Select
from django.utils import timezone

from facility.commands.loose_ends import ExtendLooseEnd, LeaveLooseEnd, ReturnLooseEnd
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.models import LooseEnd, Person, Site
from facility.queries import memberships


class LooseEndSheet(CommandSheet):
    """``offered`` are the subjects it may be about, by ledger key, each with its name."""

    kind = ChoiceField(choices=LooseEnd.Kind.choices, widget=Segmented({"class": "segmented rows"}))
    about = ChoiceField(label="Where")
    what = CharField(max_length=160, help_text="Such as: fill hose in the sump, 12 L/min.")
    why = CharField(label="Why", max_length=200)
    owner = ModelChoiceField(
        label="Who puts it right",
        queryset=Person.objects.none(),
        empty_label=None,
        widget=Select({"data-outbox-field": "owner_id"}),
    )
    due_back_at = WallClockField(label="To be put right by")
    happened_at = WallClockField(label="Since", initial=timezone.now)

    def __init__(self, *args: Any, site: Site, offered: Iterable[Any], **options: Any) -> None:
        super().__init__(*args, **options)
        where = self.fields["about"]
        if isinstance(where, ChoiceField):
            where.choices = list(offered)
        self.offer("owner", memberships.people_at(site))

    def command(self) -> LeaveLooseEnd:
        given = dict(self.cleaned_data)
        return LeaveLooseEnd(owner_id=given.pop("owner").pk, **given)


class ReturnSheet(CommandSheet):
    happened_at = WallClockField(label="Put right at", initial=timezone.now)
    note = CharField(label="Anything to add", max_length=200, required=False)

    def command(self, row: LooseEnd) -> ReturnLooseEnd:
        return ReturnLooseEnd(loose_end_id=row.pk, **self.cleaned_data)


class ExtendSheet(CommandSheet):
    """What was promised stands in it already."""

    due_back_at = WallClockField(label="To be put right by")
    owner = ModelChoiceField(
        label="Who puts it right",
        queryset=Person.objects.none(),
        empty_label=None,
        widget=Select({"data-outbox-field": "owner_id"}),
    )
    reason = CharField(label="Why it stays, or changes hands", max_length=300)

    def __init__(self, *args: Any, row: LooseEnd, **options: Any) -> None:
        promised = {"due_back_at": row.due_back_at, "owner": row.owner}
        super().__init__(*args, **{"initial": promised} | options)
        self.row = row
        self.offer("owner", memberships.people_at(row.site))

    def command(self) -> ExtendLooseEnd:
        given = dict(self.cleaned_data)
        return ExtendLooseEnd(loose_end_id=self.row.pk, owner_id=given.pop("owner").pk, **given)
