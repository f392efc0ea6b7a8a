"""Sheets of orders and courses: opening, reading the level, clearing, giving up."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.forms import CharField, IntegerField, ModelChoiceField, Textarea
from django.utils import timezone

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.forms.signing import SigningSheet
from quarantine.commands.course_ends import AbandonCourse, BeginClearance, ConfirmClear
from quarantine.commands.courses import OpenCourse
from quarantine.commands.levels import ReadLevel
from quarantine.commands.treatment_doses import EndBath
from quarantine.commands.treatment_orders import OrderTreatment
from quarantine.models import Agent, Course, LevelReading, TreatmentDose, TreatmentOrder
from tanks.models import Vessel

ORDERS = "I order this treatment as a licensed veterinarian who knows these animals and this place."


class OrderSheet(SigningSheet):
    """The dosage is in the agent's own unit, counted as the agent is."""

    problem_title = "Not ordered yet"
    field_order = (
        "licence",
        "condition",
        "species",
        "count",
        "low",
        "high",
        "minutes",
        "duration_days",
        "withdrawal_days",
        "valid_until",
        "meaning",
        "password",
    )
    licence = CharField(label="Your licence or registration number", max_length=80)
    condition = CharField(label="Condition treated", max_length=200)
    species = CharField(label="Species treated", max_length=200)
    count = IntegerField(
        label="How many animals", min_value=1, widget=BigNumber({"inputmode": "numeric"})
    )
    low = NumberField(label="Dosage from", low=0, max_digits=10, decimal_places=4)
    high = NumberField(label="Dosage to", low=0, max_digits=10, decimal_places=4)
    minutes = IntegerField(
        label="Minutes of a bath",
        min_value=1,
        max_value=1440,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
    )
    duration_days = NumberField(label="For how many days", low=0, max_digits=5, decimal_places=1)
    withdrawal_days = IntegerField(
        label="Withdrawal, days",
        min_value=0,
        max_value=3650,
        initial=0,
        widget=BigNumber({"inputmode": "numeric"}),
        help_text="0 where nothing is eaten.",
    )
    valid_until = WallClockField(label="The order holds until")

    def __init__(self, *args: Any, agent: Agent, **options: Any) -> None:
        initial = {"meaning": ORDERS, "low": plain(agent.low), "high": plain(agent.high)}
        initial |= options.pop("initial", {})
        super().__init__(*args, initial=initial, **options)
        self.agent = agent
        for name in ("low", "high"):
            field = self.fields[name]
            field.label = f"{field.label}, {agent.unit}"
            field.help_text = f"Counted as {agent.counted_as}."
        if not agent.is_bath:
            del self.fields["minutes"]

    def command(self, vessel: Vessel) -> OrderTreatment:
        given = {name: value for name, value in self.cleaned_data.items() if name != "password"}
        return OrderTreatment(vessel_id=vessel.pk, agent_code=self.agent.code, **given)


def plain(value: Decimal | None) -> str | None:
    """A figure as people write it, without the noughts of its column."""
    return None if value is None else f"{value.normalize():f}"


class OrderChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    def label_from_instance(self, order: TreatmentOrder) -> str:
        dosage = f"{plain(order.low)} to {plain(order.high)} {order.agent.unit}"
        return f"{order.by.full_name}: {dosage}, {order.condition}"


class CourseSheet(CommandSheet):
    """``orders`` are those that hold for the water; the first is chosen."""

    why = CharField(label="What is treated", max_length=200)
    order = OrderChoice(
        label="On whose order",
        queryset=TreatmentOrder.objects.none(),
        required=False,
        empty_label=None,
        widget=Segmented({"class": "segmented rows"}),
    )
    target = NumberField(label="Target", low=0, max_digits=10, decimal_places=4)
    happened_at = WallClockField(label="Opened at", initial=timezone.now)

    def __init__(
        self, *args: Any, agent: Agent, orders: Iterable[TreatmentOrder], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.agent = agent
        chosen = [order.pk for order in orders]
        rows = TreatmentOrder.objects.filter(pk__in=chosen).select_related("by", "agent")
        self.offer("order", rows)
        self.fields["order"].initial = chosen[0] if chosen else None
        if not chosen:
            del self.fields["order"]
        target = self.fields["target"]
        target.label = f"Target, {agent.unit}"
        target.help_text = f"Counted as {agent.counted_as}."

    def command(self, vessel: Vessel) -> OpenCourse:
        given = dict(self.cleaned_data)
        order = given.pop("order", None)
        return OpenCourse(
            vessel_id=vessel.pk,
            agent_code=self.agent.code,
            order_id=order.pk if order else None,
            **given,
        )


class LevelSheet(CommandSheet):
    text = CharField(label="Level", max_length=40, widget=BigNumber())
    method = CharField(label="Read with", max_length=80)
    happened_at = WallClockField(label="Sample taken at", initial=timezone.now)

    def __init__(self, *args: Any, course: Course, **options: Any) -> None:
        super().__init__(*args, **options)
        self.course = course
        text = self.fields["text"]
        text.label = f"Level, {course.agent.unit}"
        text.help_text = (
            f"Counted as {course.agent.counted_as}. Write 0.16, <0.05 below what the test can "
            "tell, or 0.15-0.20 between two colours."
        )
        latest = LevelReading.objects.current().filter(course=course)
        last = latest.order_by("-happened_at", "pk").values_list("method", flat=True).first()
        self.fields["method"].initial = last

    def command(self) -> ReadLevel:
        return ReadLevel(course_id=self.course.pk, **self.cleaned_data)


class LevelCorrectionSheet(LevelSheet):
    """Replaces an earlier reading; the wrong one stays to be seen."""

    reason = CharField(label="Why it is corrected", max_length=300)

    def correction(self, wrong: UUID) -> ReadLevel:
        return ReadLevel(course_id=self.course.pk, corrects_id=wrong, **self.cleaned_data)


class StepSheet(CommandSheet):
    happened_at = WallClockField(label="When", initial=timezone.now)
    note = CharField(
        label="What was done", max_length=300, required=False, widget=Textarea({"rows": 3})
    )

    def clearing(self, course: Course) -> BeginClearance:
        return BeginClearance(course_id=course.pk, **self.cleaned_data)

    def cleared(self, course: Course) -> ConfirmClear:
        return ConfirmClear(course_id=course.pk, **self.cleaned_data)


class AbandonSheet(CommandSheet):
    note = CharField(label="Why it is abandoned", max_length=300, widget=Textarea({"rows": 3}))
    happened_at = WallClockField(label="When", initial=timezone.now)

    def command(self, course: Course) -> AbandonCourse:
        return AbandonCourse(course_id=course.pk, **self.cleaned_data)


class BathEndSheet(CommandSheet):
    happened_at = WallClockField(label="Over at", initial=timezone.now)
    note = CharField(label="Anything to add", max_length=200, required=False)

    def command(self, dose: TreatmentDose) -> EndBath:
        return EndBath(dose_id=dose.pk, **self.cleaned_data)
