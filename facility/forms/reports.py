"""The sheet on which a person keeps a report."""

from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.forms import ChoiceField

from facility.commands.reports import KeepReport
from facility.forms.sheets import CommandSheet
from facility.models import Site
from facility.queries.reports import offered
from facility.rules.periods import Period, spelled
from facility.sockets.reports import report_sources


class KeepReportSheet(CommandSheet):
    """One choice: which period that is over."""

    problem_title: ClassVar[str] = "Not kept yet"
    period = ChoiceField(label="Report")

    def __init__(self, *args: Any, site: Site, at: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.site = site
        self.periods = {key_of(period): period for period in offered(site, at=at)}
        if isinstance(field := self.fields["period"], ChoiceField):
            field.choices = [(key, _words(period)) for key, period in self.periods.items()]

    def clean_period(self) -> Period:
        period = self.periods.get(self.cleaned_data["period"])
        if period is None:
            raise ValidationError("Choose one of the periods offered.")
        return period

    def command(self) -> KeepReport:
        period = self.cleaned_data["period"]
        return KeepReport(
            id=self.cleaned_data["id"],
            site_id=self.site.pk,
            kind=period.kind,
            begins_on=period.begins_on,
        )


def key_of(period: Period) -> str:
    return f"{period.kind} {period.begins_on.isoformat()}"


def _words(period: Period) -> str:
    return f"{spelled(period)}: {report_sources[period.kind].title.lower()}"
