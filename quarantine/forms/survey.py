"""What a survey asks: how many there are, how rare it may be, how good the test is."""

from decimal import Decimal
from typing import Any, ClassVar, Final

from django.core.exceptions import ValidationError
from django.forms import IntegerField

from facility.forms.numbers import BigNumber, NumberField
from facility.forms.sheets import Sheet
from quarantine.rules.survey import LARGEST, Design
from quarantine.rules.survey_words import Rounds

_PER_CENT: Final = Decimal(100)
_WHOLE: Final = {"invalid": "Write a whole number, such as 40."}


def _count(label: str, **options: Any) -> IntegerField:
    return IntegerField(
        label=label,
        min_value=1,
        max_value=LARGEST,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages=_WHOLE,
        **options,
    )


def _share(label: str, low: str, **options: Any) -> NumberField:
    return NumberField(label=label, unit="%", low=Decimal(low), high=100, **options)


class SurveySheet(Sheet):
    problem_title: ClassVar[str] = "Not computed yet"
    population = _count("Animals in all", help_text="Empty for a lot too large to count.")
    prevalence = _share(
        "Find it if so many or more have it", "0.01", initial=Decimal(10), help_text="Of the lot."
    )
    confidence = _share("With probability", "50", initial=Decimal(95))
    sensitivity = _share(
        "Of those that have it, the test finds", "1", initial=Decimal(100), help_text="Sensitivity."
    )
    specificity = _share(
        "Of those that have it not, the test clears",
        "1",
        initial=Decimal(100),
        help_text="Specificity.",
    )
    herd_specificity = _share(
        "A lot without it must pass", "50", initial=Decimal(95), help_text="How often."
    )
    chosen = _count("What is a sample of this size worth?")
    rounds = IntegerField(
        label="Negative rounds in a row",
        min_value=1,
        max_value=100,
        required=False,
        widget=BigNumber({"inputmode": "numeric"}),
        error_messages=_WHOLE,
    )
    prior = _share("How sure before the first", "0", initial=Decimal(50), required=False)
    introduction = _share("Chance it comes in between two", "0", initial=Decimal(1), required=False)
    rare: ClassVar[tuple[str, ...]] = (
        "specificity",
        "herd_specificity",
        "chosen",
        "rounds",
        "prior",
        "introduction",
    )
    rare_title: ClassVar[str] = "Tests that give wrong positives; another size; several rounds"

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if self.errors:
            return given
        if given["confidence"] >= _PER_CENT:
            self.add_error("confidence", "Write less than 100 %: only testing all is certain.")
        if given["sensitivity"] + given["specificity"] <= _PER_CENT:
            self.add_error(
                "sensitivity", "Such a test tells nothing: both shares together must exceed 100 %."
            )
        if given["population"] and given["chosen"] and given["chosen"] > given["population"]:
            self.add_error("chosen", ValidationError("More than there are."))
        return given

    def design(self) -> Design:
        given = self.cleaned_data
        shares = {
            name: float(given[name] / _PER_CENT)
            for name in (
                "prevalence",
                "confidence",
                "sensitivity",
                "specificity",
                "herd_specificity",
            )
        }
        return Design(population=given["population"], **shares)

    def asked_rounds(self) -> Rounds | None:
        given = self.cleaned_data
        if not given.get("rounds"):
            return None
        shares = {
            name: float(given[name] / _PER_CENT)
            for name in ("prior", "introduction")
            if given.get(name) is not None
        }
        return Rounds(count=given["rounds"], **shares)
