"""Sheets about who is on and who can do what."""

from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import (
    BooleanField,
    CharField,
    CheckboxInput,
    IntegerField,
    ModelChoiceField,
)

from facility.commands.shifts import MOST_WEEKS, SetShift
from facility.commands.skills import GrantSkill
from facility.forms.sheets import CommandSheet, WallClockField
from facility.models import Person, Site
from facility.queries.memberships import keepers_at
from facility.queries.shifts import skill_names

_WHO: Final = "Who?"


class KeeperChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    def label_from_instance(self, someone: Any) -> str:
        return f"{someone.full_name} ({someone.initials})"


class ShiftSheet(CommandSheet):
    problem_title = "Not set yet"
    person = KeeperChoice(queryset=Person.objects.none(), label=_WHO)
    begins_at = WallClockField(label="From")
    ends_at = WallClockField(label="Until")
    weeks = IntegerField(
        min_value=1,
        max_value=MOST_WEEKS,
        initial=1,
        label="For how many weeks?",
        help_text="The same day and time of each week, by the clock on the wall.",
    )
    is_on_call = BooleanField(
        required=False,
        label="On call: answers the phone, gets no round",
        widget=CheckboxInput,
    )
    is_stand_in = BooleanField(
        required=False, label="Stands in: does not know the place", widget=CheckboxInput
    )
    rare = ("is_on_call", "is_stand_in")

    def __init__(self, *args: Any, site: Site, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self.offer("person", keepers_at(site))

    def clean(self) -> dict[str, Any]:
        told = super().clean() or self.cleaned_data
        begins, ends = told.get("begins_at"), told.get("ends_at")
        if begins and ends and ends <= begins:
            self.add_error("ends_at", ValidationError("Let it end after it begins."))
        return told

    def command(self) -> SetShift:
        told = dict(self.cleaned_data)
        person: Person = told.pop("person")
        return SetShift(site_id=self.site.pk, person_id=person.pk, **told)


class SkillSheet(CommandSheet):
    problem_title = "Not granted yet"
    person = KeeperChoice(queryset=Person.objects.none(), label=_WHO)
    name = CharField(
        max_length=40,
        label="Which skill?",
        help_text="As the tasks name it, such as photometer.",
    )

    def __init__(self, *args: Any, site: Site, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self.offer("person", keepers_at(site))
        if known := skill_names(site):
            self.fields["name"].help_text = f"Known here: {', '.join(known)}."

    def command(self) -> GrantSkill:
        person: Person = self.cleaned_data["person"]
        return GrantSkill(
            id=self.cleaned_data["id"],
            site_id=self.site.pk,
            person_id=person.pk,
            name=self.cleaned_data["name"],
        )
