"""The sheet of one alarm rule: every figure with its unit, its level, and their source."""

from decimal import Decimal
from typing import Any, ClassVar

from django.forms import CharField, ChoiceField

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented
from tanks.commands.alarm_rules import SetAlarmRule
from tanks.models import AlarmRule
from tanks.rules.alarms.figures import figures_of

LEVELS = [("1", "1, act now"), ("2", "2, act today"), ("3", "3, only listed")]


class AlarmRuleSheet(CommandSheet):
    problem_title: ClassVar[str] = "The rule stands as it was"

    ends = ChoiceField(
        label="The rule",
        choices=[("no", "goes on with these figures"), ("yes", "ends now")],
        initial="no",
        widget=Segmented({"class": "segmented"}),
    )
    level = ChoiceField(
        label="At most how pressing", choices=LEVELS, widget=Segmented({"class": "segmented"})
    )

    def __init__(self, *args: Any, rule: AlarmRule, **options: Any) -> None:
        super().__init__(*args, **options)
        self.rule = rule
        self.figures = list(figures_of(rule.figures, parameter=rule.parameter))
        self.fields["level"].initial = str(rule.level)
        for figure in self.figures:
            self.fields[figure.name] = NumberField(
                label=figure.label,
                unit=figure.unit,
                low=figure.low,
                high=figure.high,
                initial=Decimal(str(rule.figures[figure.name])),
            )
        self.fields["advice"] = CharField(
            label="What to do", max_length=300, initial=rule.advice, required=False
        )
        self.fields["source"] = CharField(
            label="Where these figures come from",
            max_length=200,
            initial=rule.source,
            help_text="A text with its edition, a person who decided, or “common practice”.",
        )

    def command(self) -> SetAlarmRule:
        given = self.cleaned_data
        return SetAlarmRule(
            id=given["id"],
            rule_id=self.rule.pk,
            level=int(given["level"]),
            figures={figure.name: _plain(given[figure.name]) for figure in self.figures},
            advice=given["advice"],
            source=given["source"],
            ends=given["ends"] == "yes",
        )


def _plain(value: Decimal) -> float | int:
    """JSON knows no decimals; a count stays whole."""
    return int(value) if value == value.to_integral_value() else float(value)
