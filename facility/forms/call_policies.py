"""The sheet of a site's call times: every figure with its unit, and their source."""

from decimal import Decimal
from typing import Any, ClassVar

from django.forms import CharField

from facility.commands.call_policies import SetCallPolicy
from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet
from facility.models import CallPolicy, Site
from facility.rules.calling import FIGURES, PRACTICE, USUAL


class CallPolicySheet(CommandSheet):
    problem_title: ClassVar[str] = "The times stand as they were"

    def __init__(self, *args: Any, site: Site, policy: CallPolicy | None, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        for figure in FIGURES:
            self.fields[figure.name] = NumberField(
                label=figure.label,
                unit=figure.unit,
                low=figure.low,
                high=figure.high,
                decimal_places=0,
                initial=getattr(policy or USUAL, figure.name),
            )
        self.fields["source"] = CharField(
            label="Where these times come from",
            max_length=200,
            initial=policy.source if policy else PRACTICE,
            help_text="A text with its edition, a person who decided, or “common practice”.",
        )

    def command(self) -> SetCallPolicy:
        given = self.cleaned_data
        figures: dict[str, Decimal] = {figure.name: given[figure.name] for figure in FIGURES}
        return SetCallPolicy(
            id=given["id"],
            site_id=self.site.pk,
            source=given["source"],
            **{name: int(value) for name, value in figures.items()},
        )
