"""The sheet a duty is set on: plain choices that write the rule, and the rule itself."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import (
    CharField,
    CheckboxSelectMultiple,
    ChoiceField,
    IntegerField,
    ModelChoiceField,
    MultipleChoiceField,
    TextInput,
    TimeField,
    TimeInput,
)

from facility.commands.duties import SetDuty
from facility.forms.sheets import CalendarField, CommandSheet, Segmented
from facility.models import Duty, Site, WorkKind
from facility.rules.patterns import DAYS, PATTERNS, composed
from facility.sockets.subjects import subjects_at
from facility.sockets.work import proofs

_CLOCK: Final = TimeInput({"type": "time"}, format="%H:%M")


class DutySheet(CommandSheet):
    rare = ("why", "skill", "goes_after", "opens_before_minutes", "late_after_minutes")
    rare_title = "Why, window, order and skill"
    problem_title = "Not set yet"

    kind = ChoiceField(choices=WorkKind.choices, label="Kind of work")
    title = CharField(max_length=160, label="What is to be done")
    about = ChoiceField(label="What it is about")
    pattern = ChoiceField(choices=PATTERNS, widget=Segmented(), label="How often")
    days = MultipleChoiceField(
        choices=DAYS,
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
        label="On these days",
        help_text="For weekly work.",
    )
    every = IntegerField(
        min_value=1,
        max_value=366,
        required=False,
        label="Every how many days",
        help_text="For work every so many days.",
    )
    day_of_month = IntegerField(
        min_value=1,
        max_value=31,
        required=False,
        label="Day of the month",
        help_text="For monthly work.",
    )
    rule = CharField(
        max_length=200,
        required=False,
        label="Rule",
        help_text="RFC 5545, such as FREQ=WEEKLY;BYDAY=MO,TH. It counts where “By the rule” is "
        "chosen; otherwise the choices above write it.",
    )
    begins_on = CalendarField(label="First day", widget=TextInput({"type": "date"}))
    at = TimeField(widget=_CLOCK, label="At")
    minutes = IntegerField(min_value=1, max_value=600, label="Takes about, in minutes")
    proofs = MultipleChoiceField(
        required=False,
        widget=CheckboxSelectMultiple({"class": "segmented"}),
        label="Done by itself once this is recorded",
        help_text="Tick nothing where a person's word is enough.",
    )
    why = CharField(max_length=300, required=False, label="Why")
    skill = CharField(
        max_length=40, required=False, label="Skill", help_text="Only who was granted it may do it."
    )
    goes_after = ModelChoiceField(
        queryset=Duty.objects.none(), required=False, label="Goes after, on the same day"
    )
    opens_before_minutes = IntegerField(
        min_value=0, initial=180, label="May be done from, in minutes before"
    )
    late_after_minutes = IntegerField(min_value=0, initial=540, label="Late after, in minutes")

    def __init__(self, *args: Any, site: Site, now: datetime, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self._choose("about", subjects_at(site.pk, now))
        self._choose("proofs", [(one.name, one.label) for one in proofs])
        self.offer("goes_after", Duty.objects.in_force().filter(site=site).order_by("title", "pk"))

    def _choose(self, name: str, choices: Iterable[tuple[str, str]]) -> None:
        field = self.fields[name]
        if isinstance(field, ChoiceField):
            field.choices = list(choices)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if "pattern" in told and not self.errors.keys() & {"days", "every", "day_of_month"}:
            self._write_rule(told)
        return told

    def _write_rule(self, told: dict[str, Any]) -> None:
        field, sentence = _MISSING.get(told["pattern"], ("", ""))
        if field and not told.get(field):
            self.add_error(field, ValidationError(sentence))
            return
        told["rule"] = composed(
            told["pattern"],
            days=told.get("days") or (),
            every=told.get("every") or 1,
            day_of_month=told.get("day_of_month") or 1,
            own=told.get("rule", ""),
        )

    def command(self) -> SetDuty:
        told = self.cleaned_data
        return SetDuty(
            **{name: told[name] for name in _SAID},
            site_id=self.site.pk,
            asks=_asks(told["proofs"]),
            goes_after_id=told["goes_after"].pk if told["goes_after"] else None,
        )


_SAID: Final = (
    *("id", "kind", "title", "about", "rule", "begins_on", "at", "minutes", "why", "skill"),
    *("opens_before_minutes", "late_after_minutes"),
)
_MISSING: Final = {
    "WEEKLY": ("days", "Tick at least one day of the week."),
    "EVERY": ("every", "Write every how many days."),
    "MONTHLY": ("day_of_month", "Write which day of the month."),
    "OWN": ("rule", "Write the rule, or choose one of the patterns."),
}


def first_duty(now: datetime, site: Site) -> dict[str, Any]:
    """What a new sheet offers: tomorrow at nine."""
    tomorrow = now.astimezone(site.zone).date() + timedelta(days=1)
    return {"begins_on": tomorrow, "at": "09:00", "pattern": "DAILY", "minutes": 15}


def _asks(names: Iterable[str]) -> dict[str, Any]:
    """All that the ticked proofs ask for, together."""
    chosen: list[Mapping[str, Any]] = [proofs[name].asks for name in names]
    merged = {
        part: list(dict.fromkeys(each for asks in chosen for each in asks.get(part, ())))
        for part in ("deeds", "parameters")
    }
    return {part: each for part, each in merged.items() if each}
