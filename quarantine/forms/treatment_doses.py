"""Sheets of a dose: giving it, working it out a second time, setting one stop aside."""

from decimal import Decimal, InvalidOperation
from typing import Any, ClassVar
from uuid import UUID

from django.core.exceptions import ValidationError
from django.forms import (
    CharField,
    ChoiceField,
    DecimalField,
    Field,
    HiddenInput,
    IntegerField,
    ModelChoiceField,
    Textarea,
    UUIDField,
)
from django.utils import timezone

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import CommandSheet, Segmented, WallClockField
from facility.forms.signing import SigningSheet
from quarantine.commands.computations import ComputeDose
from quarantine.commands.overrides import OverrideGuard
from quarantine.commands.treatment_doses import GiveDose
from quarantine.models import Container, Course, TreatmentDose
from quarantine.queries.agents import containers_at, form_told
from tanks.queries.waters import Water

SETS_ASIDE = "I have read what stops this dose and set this one stop aside, for this dose alone."
_INTENTS = [choice for choice in TreatmentDose.Intent.choices if choice[0] != "BATH"]


class ContainerChoice(ModelChoiceField):  # type: ignore[type-arg]  # none at run time
    """Says what is in it, its batch and its date: two tubs may look alike."""

    def label_from_instance(self, container: Container) -> str:
        told = f"{container.name}: {form_told(container)}, batch {container.batch}"
        return f"{told}, good until {container.expires_on:%d %b %Y}"


class MembersField(CharField):
    """The vessels of the water, as the sheet showed them."""

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value) or ""
        try:
            return frozenset(UUID(one) for one in text.split(",") if one)
        except ValueError:
            return frozenset()


class DoseSheet(CommandSheet):
    """``amount`` is never filled in for the person: it is what the scale or syringe showed."""

    problem_title: ClassVar[str] = "Not given"
    container = ContainerChoice(
        queryset=Container.objects.none(),
        empty_label=None,
        widget=Segmented({"class": "segmented rows"}),
    )
    intent = ChoiceField(label="What for", choices=_INTENTS, widget=Segmented())
    rise = NumberField(label="Rise", low=0, max_digits=10, decimal_places=4)
    minutes = IntegerField(
        label="Minutes of the bath",
        min_value=1,
        max_value=1440,
        widget=BigNumber({"inputmode": "numeric"}),
    )
    amount = NumberField(
        label="What you measured out",
        low=0,
        max_digits=12,
        decimal_places=3,
        help_text="What the scale (g) or syringe (mL) showed.",
    )
    happened_at = WallClockField(label="Put in at", initial=timezone.now)
    seen_members = MembersField(widget=HiddenInput)
    seen_litres = DecimalField(widget=HiddenInput, max_digits=12, decimal_places=2)

    def __init__(self, *args: Any, course: Course, water: Water, **options: Any) -> None:
        options["initial"] = _seen(water) | options.get("initial", {})
        super().__init__(*args, **options)
        self.course = course
        rows = containers_at(course.vessel.site, course.agent.code, at=timezone.now())
        self.offer("container", rows)
        self.fields["container"].initial = rows.values_list("pk", flat=True).first()
        self.fields["rise"].label = f"Rise, {course.agent.unit}"
        if course.agent.is_bath:
            del self.fields["intent"]
        else:
            del self.fields["minutes"]

    def draft(self) -> GiveDose | None:
        """The dose as far as it can be told; without an amount, as if the computed were given."""
        told = self._told()
        if any(told.get(name) is None for name in ("id", "container", "rise", "happened_at")):
            return None
        return GiveDose(
            id=told["id"],
            course_id=self.course.pk,
            container_id=told["container"].pk,
            intent="BATH" if self.course.agent.is_bath else told.get("intent") or "START",
            rise=Decimal(told["rise"]),
            amount=told.get("amount") or Decimal(0),
            seen_members=told.get("seen_members") or frozenset(),
            seen_litres=Decimal(told.get("seen_litres") or 0),
            happened_at=told["happened_at"],
            minutes=told.get("minutes"),
        )

    def _told(self) -> dict[str, Any]:
        if self.is_bound:
            self.is_valid()
            return self.cleaned_data
        return {name: self._initial(name, field) for name, field in self.fields.items()}

    def _initial(self, name: str, field: Field) -> Any:
        """What stands in the field as its own type; an address brings texts, some of them bad."""
        value = self.get_initial_for_field(field, name)
        is_raw = isinstance(value, str) or isinstance(field, ModelChoiceField)
        try:
            return field.to_python(value) if is_raw else value
        except ValidationError:
            return None


class ComputationSheet(CommandSheet):
    """Nothing of the first person's working is shown here."""

    container = ContainerChoice(
        queryset=Container.objects.none(),
        empty_label=None,
        widget=Segmented({"class": "segmented rows"}),
    )
    rise = NumberField(label="Rise", low=0, max_digits=10, decimal_places=4)
    litres = NumberField(
        label="Net litres of the water, as you read them",
        unit="L",
        low=0,
        max_digits=10,
        decimal_places=2,
        help_text="From the tank's own sheet or meter, not from the first person.",
    )
    amount = NumberField(
        label="What you come to",
        low=0,
        max_digits=12,
        decimal_places=3,
        help_text="In g of a solid, mL of a solution.",
    )
    happened_at = WallClockField(label="Worked out at", initial=timezone.now)

    def __init__(self, *args: Any, course: Course, **options: Any) -> None:
        super().__init__(*args, **options)
        self.course = course
        rows = containers_at(course.vessel.site, course.agent.code, at=timezone.now())
        self.offer("container", rows)
        self.fields["container"].initial = rows.values_list("pk", flat=True).first()
        self.fields["rise"].label = f"Rise, {course.agent.unit}"
        self.fields["rise"].help_text = f"Counted as {course.agent.counted_as}."

    def command(self) -> ComputeDose:
        given = dict(self.cleaned_data)
        container = given.pop("container")
        return ComputeDose(course_id=self.course.pk, container_id=container.pk, **given)


class OverrideSheet(SigningSheet):
    """The dose comes along unseen; what is asked is why, and the signature."""

    problem_title: ClassVar[str] = "Not set aside"
    field_order = ("why", "meaning", "password")
    why = CharField(
        label="Why this dose is right all the same", max_length=300, widget=Textarea({"rows": 3})
    )
    dose_id = UUIDField(widget=HiddenInput)
    giver_id = UUIDField(widget=HiddenInput)
    container_id = UUIDField(widget=HiddenInput)
    stop = CharField(widget=HiddenInput, max_length=40)
    intent = CharField(widget=HiddenInput, max_length=8)
    rise = DecimalField(widget=HiddenInput, max_digits=10, decimal_places=4)
    amount = DecimalField(widget=HiddenInput, max_digits=12, decimal_places=3)
    seen_members = MembersField(widget=HiddenInput)
    seen_litres = DecimalField(widget=HiddenInput, max_digits=12, decimal_places=2)
    minutes = IntegerField(widget=HiddenInput, required=False)
    happened_at = WallClockField(widget=HiddenInput)

    def command(self, course: Course) -> OverrideGuard:
        given = dict(self.cleaned_data)
        del given["password"], given["meaning"]
        return OverrideGuard(course_id=course.pk, **given)


def _seen(water: Water) -> dict[str, Any]:
    return {
        "seen_members": ",".join(sorted(str(pk) for pk in water.member_ids)),
        "seen_litres": _litres(water),
    }


def _litres(water: Water) -> Decimal | None:
    try:
        return Decimal(repr(water.litres)).quantize(Decimal("0.01"))
    except InvalidOperation:
        return None
