"""Sheets for how long animals stay and what bears on their clock."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField, IntegerField

from facility.forms.numbers import BigNumber, with_point
from facility.forms.sheets import CommandSheet, Segmented
from facility.models import Site
from quarantine.commands.life_cycles import CyclePoint, SetLifeCycle
from quarantine.commands.stay_rules import SetStayPolicy, SetStayRule
from quarantine.models import Species, StayPolicy, StayRule
from quarantine.rules.stays import PolicyValues
from tanks.models import Cycle

_WHOLE = "Write a whole number, such as 14."
_SOURCE_HELP = "Where it can be looked up; or that it is common practice."


def _number(label: str, low: int, high: int) -> IntegerField:
    return IntegerField(
        label=label,
        min_value=low,
        max_value=high,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages={"invalid": _WHOLE},
    )


class StayRuleSheet(CommandSheet):
    purpose = ChoiceField(label="For", choices=StayRule.Purpose.choices, widget=Segmented)
    group = ChoiceField(
        label="Group", choices=[("", "Any"), *Species.Group.choices], required=False
    )
    water_kind = ChoiceField(
        label="Water", choices=[("", "Any"), *Cycle.WaterKind.choices], required=False
    )
    days = _number("Fewest days", 1, 3650)
    jurisdiction = CharField(
        label="Jurisdiction", max_length=60, required=False, help_text="Empty for the house's own."
    )
    source = CharField(label="Source", max_length=200, help_text=_SOURCE_HELP)
    note = CharField(label="Note", max_length=300, required=False)

    def command(self, site: Site) -> SetStayRule:
        return SetStayRule(site_id=site.pk, **self.cleaned_data)


class PointsField(CharField):
    """``7: 35; 24: 4`` are 35 days at 7 °C and 4 at 24 °C."""

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value) or "")
        return tuple(_point(one) for one in text.split(";") if one.strip())


class LifeCycleSheet(CommandSheet):
    agent = CharField(label="Agent", max_length=120, help_text="Its scientific name.")
    water_kind = ChoiceField(label="Water", choices=Cycle.WaterKind.choices, widget=Segmented)
    points = PointsField(
        label="Days of one life cycle by temperature",
        max_length=200,
        help_text="°C: days, from cold to warm, such as 7: 35; 24: 4.",
    )
    cycles = _number("How many life cycles must pass", 1, 20)
    source = CharField(label="Source", max_length=200, help_text=_SOURCE_HELP)
    note = CharField(label="Note", max_length=300, required=False)

    def command(self, site: Site) -> SetLifeCycle:
        return SetLifeCycle(site_id=site.pk, **self.cleaned_data)


def _point(text: str) -> CyclePoint:
    celsius, _, days = text.partition(":")
    try:
        return CyclePoint(temperature_c=_decimal(celsius), days=_decimal(days))
    except (InvalidOperation, ValueError) as error:
        said = "Write °C and days with a colon between, such as 7: 35; 24: 4."
        raise ValidationError(said, code="points") from error


def _decimal(text: str) -> Decimal:
    value = Decimal(with_point(text))
    if not value.is_finite():
        raise ValueError(text)
    return value


class StayPolicySheet(CommandSheet):
    on_treatment = ChoiceField(
        label="During a treatment", choices=StayPolicy.Effect.choices, widget=Segmented
    )
    on_death = ChoiceField(
        label="After an unexplained death", choices=StayPolicy.Effect.choices, widget=Segmented
    )
    on_pathogen = ChoiceField(
        label="When a pathogen is found", choices=StayPolicy.Effect.choices, widget=Segmented
    )
    quiet_days = _number("Days without a death before a release", 0, 365)
    clear_days = _number("Days after a course was cleared", 0, 365)
    feeding_looks = _number("Looks in a row that saw them feed", 0, 30)
    look_hours = _number("Hours before its end a look may be the final one", 1, 336)
    first_feed_percent = _number("First feed in a newly stocked water, % of the certified", 1, 100)
    clean_days = _number("Clean days before each step of feed", 1, 60)
    source = CharField(label="Source", max_length=200, help_text=_SOURCE_HELP)

    def __init__(self, *args: Any, policy: PolicyValues, **options: Any) -> None:
        super().__init__(*args, **options)
        for name in self.fields:
            if name != "id":
                self.initial.setdefault(name, getattr(policy, name))

    def command(self, site: Site) -> SetStayPolicy:
        return SetStayPolicy(site_id=site.pk, **self.cleaned_data)
