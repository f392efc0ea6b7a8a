"""Which days a record is to cover."""

from datetime import date, datetime, time, timedelta
from typing import Any, Final

from django.core.exceptions import ValidationError
from django.forms import DateInput
from django.utils import timezone

from facility.forms.sheets import CalendarField, Sheet
from facility.models import Site

# The longest that any note asks to keep records: 3 years.
_YEARS: Final = 3
_DAYS_A_YEAR: Final = 365
_WIDGET: Final = DateInput({"type": "date"}, format="%Y-%m-%d")


class PeriodSheet(Sheet):
    """Asked by address, so that the same record can be opened again."""

    since = CalendarField(label="From", required=False, widget=_WIDGET)
    until = CalendarField(label="To", required=False, widget=_WIDGET)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        since, until = given.get("since"), given.get("until")
        if since and until and until < since:
            self.add_error("until", ValidationError("Give a day on or after the first."))
        return given

    def period(self, site: Site, *, at: datetime) -> tuple[datetime, datetime]:
        """The days asked for by the site's clock; without an answer, three years up to now."""
        given = self.cleaned_data if self.is_valid() else {}
        until = given.get("until")
        last = _midnight(until + timedelta(days=1), site) if until else at
        since = given.get("since")
        first = _midnight(since, site) if since else last - timedelta(days=_YEARS * _DAYS_A_YEAR)
        return first, min(last, at)


def period_sheet(asked: Any) -> PeriodSheet:
    return PeriodSheet({"since": asked.get("since", ""), "until": asked.get("until", "")})


def _midnight(day: date, site: Site) -> datetime:
    return timezone.make_aware(datetime.combine(day, time()), site.zone)
