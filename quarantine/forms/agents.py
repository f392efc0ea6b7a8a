"""Sheets of agents and their containers."""

from decimal import Decimal
from typing import Any, Final

from django.forms import BooleanField, CharField, ChoiceField, IntegerField
from django.utils import timezone

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import CalendarField, CommandSheet, Segmented, Sheet, WallClockField
from quarantine.commands.agents import SetAgent
from quarantine.commands.containers import RecordTrial, RetireContainer, ShelveContainer
from quarantine.forms.treatment import plain
from quarantine.models import Agent, Container
from quarantine.queries.agents import forms_of

_FIGURES: Final = (
    "low",
    "high",
    "clock_days",
    "readings_in_row",
    "out_of_window",
    "longest_gap_h",
    "clear_below",
    "takes_order",
    "takes_second",
    "takes_trial",
)


class AdoptSheet(CommandSheet):
    """Nothing is asked: what is missing is listed on the page."""


class AgentSheet(CommandSheet):
    low = NumberField(label="Window from", low=0, required=False, decimal_places=4, max_digits=10)
    high = NumberField(label="Window to", low=0, required=False, decimal_places=4, max_digits=10)
    clock_days = NumberField(
        label="Days the clock must reach", low=0, required=False, decimal_places=1, max_digits=5
    )
    readings_in_row = IntegerField(
        label="Readings in a row inside the window that start the clock",
        min_value=1,
        max_value=20,
        widget=BigNumber({"inputmode": "numeric"}),
    )
    out_of_window = ChoiceField(
        label="Out of the window",
        choices=Agent.OutOfWindow.choices,
        widget=Segmented({"class": "segmented rows"}),
    )
    longest_gap_h = NumberField(
        label="Longest time between readings that counts", unit="h", low=1, decimal_places=1
    )
    clear_below = NumberField(
        label="Cleared at or below", low=0, required=False, decimal_places=4, max_digits=10
    )
    takes_order = BooleanField(label="Only on a veterinarian's order", required=False)
    takes_second = BooleanField(label="A second person works each dose out", required=False)
    takes_trial = BooleanField(
        label="Each container is tried on a few animals first", required=False
    )
    source = CharField(
        label="Where these figures come from",
        max_length=200,
        help_text="A text with its edition, or: common practice here, agreed with whom.",
    )

    def __init__(self, *args: Any, agent: Agent, **options: Any) -> None:
        told = {name: getattr(agent, name) for name in _FIGURES}
        told |= {name: plain(one) for name, one in told.items() if isinstance(one, Decimal)}
        super().__init__(*args, **{"initial": told} | options)
        self.agent = agent
        for name in ("low", "high", "clear_below"):
            self.fields[name].label = f"{self.fields[name].label}, {agent.unit}"

    def command(self) -> SetAgent:
        return SetAgent(agent_id=self.agent.pk, **self.cleaned_data)


class ContainerSheet(CommandSheet):
    form_held = ChoiceField(label="What it holds", widget=Segmented({"class": "segmented rows"}))
    name = CharField(label="Name on it", max_length=80, help_text="Number them: copper tub 2.")
    label_strength = NumberField(
        label="Strength on the label",
        low=0,
        max_digits=10,
        decimal_places=4,
        help_text="As the label has it: per cent of a solid, g in a litre of a solution.",
    )
    batch = CharField(max_length=40)
    expires_on = CalendarField(label="Good until", help_text="Year-month-day.")
    opened_on = CalendarField(label="Opened on", required=False)
    coldest_c = NumberField(
        label="Coldest it was ever stored",
        unit="degC",
        low=-40,
        high=60,
        max_digits=4,
        decimal_places=1,
        required=False,
        help_text="Asked where cold spoils it: formalin.",
    )

    def __init__(self, *args: Any, agent: Agent, **options: Any) -> None:
        super().__init__(*args, **options)
        self.agent = agent
        held = self.fields["form_held"]
        forms = forms_of(agent)
        if isinstance(held, ChoiceField):
            held.choices = [(form.code, f"{form.label}: {form.asks}") for form in forms]
        held.initial = forms[0].code if len(forms) == 1 else None
        if agent.stored_above_c is None:
            del self.fields["coldest_c"]

    def command(self) -> ShelveContainer:
        given = dict(self.cleaned_data)
        form = given.pop("form_held")
        return ShelveContainer(
            site_id=self.agent.site_id, agent_code=self.agent.code, form=form, **given
        )


class RetireContainerSheet(Sheet):
    happened_at = WallClockField(label="Off the shelf since", initial=timezone.now)

    def command(self, container: Container) -> RetireContainer:
        return RetireContainer(container_id=container.pk, **self.cleaned_data)


class TrialSheet(CommandSheet):
    species = CharField(label="Which animals", max_length=120)
    count = IntegerField(
        label="How many", min_value=1, max_value=999, widget=BigNumber({"inputmode": "numeric"})
    )
    concentration = NumberField(label="At what level", low=0, max_digits=10, decimal_places=4)
    watched_h = NumberField(label="Watched for", unit="h", low=0, max_digits=5, decimal_places=1)
    was_harmed = ChoiceField(
        label="Did any come to harm?",
        choices=[("no", "No"), ("yes", "Yes")],
        widget=Segmented(),
    )
    note = CharField(label="What was seen", max_length=300, required=False)
    happened_at = WallClockField(label="Begun at", initial=timezone.now)

    def __init__(self, *args: Any, unit: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["concentration"].label = f"At what level, {unit}"

    def command(self, container: Container) -> RecordTrial:
        given = dict(self.cleaned_data)
        was_harmed = given.pop("was_harmed") == "yes"
        return RecordTrial(container_id=container.pk, was_harmed=was_harmed, **given)
