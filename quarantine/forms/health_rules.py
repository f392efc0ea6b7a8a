"""The sheet of one rule about deaths: its figures, its levels, and where they come from."""

from decimal import Decimal
from typing import Any, ClassVar

from django.forms import CharField, ChoiceField

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented
from quarantine.commands.health_rules import SetHealthRule
from quarantine.models import HealthRule
from quarantine.rules.health_figures import FIGURES

LEVELS = [("1", "1, act now"), ("2", "2, act today"), ("3", "3, only listed")]


class HealthRuleSheet(CommandSheet):
    problem_title: ClassVar[str] = "The rule stands as it was"
    is_on = ChoiceField(
        label="The rule", choices=[("yes", "calls"), ("no", "is not selected")], widget=Segmented()
    )
    level = ChoiceField(label="In quarantine", choices=LEVELS, widget=Segmented())
    level_elsewhere = ChoiceField(label="Elsewhere", choices=LEVELS, widget=Segmented())

    def __init__(self, *args: Any, rule: HealthRule, **options: Any) -> None:
        begun = {
            "is_on": "yes" if rule.is_on else "no",
            "level": str(rule.level),
            "level_elsewhere": str(rule.level_elsewhere),
        }
        super().__init__(*args, **{"initial": begun} | options)
        self.rule = rule
        self.names = [name for name in FIGURES if name in rule.figures]
        for name in self.names:
            words, low, high = FIGURES[name]
            self.fields[name] = NumberField(
                label=words,
                low=Decimal(str(low)),
                high=Decimal(str(high)),
                initial=Decimal(str(rule.figures[name])),
            )
        self.fields["source"] = CharField(
            label="Where these figures come from",
            max_length=200,
            initial=rule.source,
            help_text="A text with its edition, a person who decided, or “common practice”.",
        )

    def command(self) -> SetHealthRule:
        given = self.cleaned_data
        return SetHealthRule(
            id=given["id"],
            rule_id=self.rule.pk,
            level=int(given["level"]),
            level_elsewhere=int(given["level_elsewhere"]),
            is_on=given["is_on"] == "yes",
            source=given["source"],
            figures={name: _plain(given[name]) for name in self.names},
        )


def _plain(value: Decimal) -> float | int:
    """JSON knows no decimals; a count stays whole."""
    return int(value) if value == value.to_integral_value() else float(value)
