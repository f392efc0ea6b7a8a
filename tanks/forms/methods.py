import re
from decimal import Decimal
from typing import Any, ClassVar, Final

from django.core.exceptions import ValidationError
from django.forms import CharField, ChoiceField

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet, Segmented
from facility.models import Site
from tanks.commands.methods import DefineMethod
from tanks.forms.offers import unit_choices
from tanks.models import Method

_NUMBER: Final = re.compile(r"\d{1,6}(?:[.,]\d{1,4})?")


class MethodSheet(CommandSheet):
    """How a parameter is measured here; asked for one parameter at a time."""

    problem_title: ClassVar[str] = "Not added yet"
    kind = ChoiceField(choices=Method.Kind.choices, widget=Segmented())
    name = CharField(max_length=80, help_text="As people here call it, with its range if it helps.")
    measure = ChoiceField(
        label="It reads in",
        widget=Segmented(),
        help_text="Look on the box: as N or as the ion makes a difference of up to 4.4 times.",
    )
    steps = CharField(
        label="Steps of a colour kit",
        required=False,
        max_length=200,
        help_text="The printed values from low to high with spaces: 0 0.25 0.5 1 2 5",
    )
    lowest = NumberField(
        label="Lowest it can tell from nothing",
        required=False,
        low=0,
        help_text="Anything less is entered as below this value, never as 0.",
    )
    highest = NumberField(label="Highest it can read", required=False, low=0)

    def __init__(self, *args: Any, site: Site, parameter: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site, self.parameter = site, parameter
        if isinstance(field := self.fields["measure"], ChoiceField):
            field.choices = unit_choices(parameter)

    def clean_steps(self) -> tuple[Decimal, ...]:
        written = re.split(r"[\s;]+", self.cleaned_data["steps"].strip())
        if not all(_NUMBER.fullmatch(step) for step in written if step):
            raise ValidationError("Write the steps as numbers with spaces: 0 0.25 0.5 1.")
        return tuple(Decimal(step.replace(",", ".")) for step in written if step)

    def command(self) -> DefineMethod:
        unit, _, basis = self.cleaned_data["measure"].partition("|")
        return DefineMethod(
            id=self.cleaned_data["id"],
            site_id=self.site.pk,
            name=self.cleaned_data["name"],
            kind=self.cleaned_data["kind"],
            parameter=self.parameter,
            unit=unit,
            basis=basis,
            steps=self.cleaned_data["steps"],
            lowest=self.cleaned_data["lowest"],
            highest=self.cleaned_data["highest"],
        )
