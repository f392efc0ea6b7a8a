"""The sheet of a site's start-up policy: every figure with its unit, and their source."""

from decimal import Decimal
from typing import Any, ClassVar

from django.forms import CharField

from facility.forms.numbers import NumberField
from facility.forms.sheets import CommandSheet
from facility.models import Site
from tanks.commands.policies import SetPolicy
from tanks.models import Policy
from tanks.rules.policies import FIGURES


class PolicySheet(CommandSheet):
    problem_title: ClassVar[str] = "The policy stands as it was"

    def __init__(self, *args: Any, site: Site, policy: Policy | None, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        for figure in FIGURES:
            self.fields[figure.name] = NumberField(
                label=figure.label,
                unit=figure.unit,
                low=figure.low,
                high=figure.high,
                initial=getattr(policy, figure.name, None),
            )
        self.fields["source"] = CharField(
            label="Where these figures come from",
            max_length=200,
            initial=policy.source if policy else "",
            help_text="A text with its edition, a person who decided, or “common practice”.",
        )

    def command(self) -> SetPolicy:
        given = self.cleaned_data
        figures: dict[str, Decimal] = {figure.name: given[figure.name] for figure in FIGURES}
        whole = int(figures.pop("passes_needed"))
        return SetPolicy(
            id=given["id"],
            site_id=self.site.pk,
            passes_needed=whole,
            source=given["source"],
            **figures,
        )
