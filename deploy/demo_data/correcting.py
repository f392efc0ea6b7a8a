"""What was done about readings out of range, and the reports the house kept of it all."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final
from uuid import UUID

from deploy.demo_data.acts import TODAY, Act, Weeks, ident
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import STAFF
from facility.commands.reports import KeepReport
from facility.models import Person, Site
from facility.queries.reports import house_id
from facility.rules.periods import KEPT_AT, MONTH, WEEK, Period, period_of
from tanks.commands.corrective_actions import ActOnReading, act_on_reading
from tanks.queries.exceedances import open_at_site

# The list of what is out of range was gone through on these days.
_GONE_THROUGH: Final = (TODAY - 6, TODAY - 3, TODAY)
_ACTS: Final = {
    "ALKALINITY": ("buffered", "Sodium bicarbonate, in two steps"),
    "PH": ("buffered", "Sodium bicarbonate, slowly"),
    "CHLORINE": ("dechlorinated", "Thiosulphate again; a finer kit is ordered"),
    "TEMPERATURE": ("set-heating", "Heater set half a degree up"),
}
_ELSE: Final = ("water-change", "A fifth, and fed half")


@dataclass(frozen=True, slots=True, kw_only=True)
class GoThrough:
    """Somebody says of everything open what was done about it, where nobody has yet."""

    site_id: UUID


def corrected(weeks: Weeks) -> Iterator[Act]:
    for day in _GONE_THROUGH:
        by = STAFF[day % len(STAFF)]
        yield Act(at=weeks.at(day, "10:40"), by=by, command=GoThrough(site_id=SITE_ID))


def reported(weeks: Weeks) -> Iterator[Act]:
    """On Mondays the week before, on the first the month before, at the house's own hours."""
    for day in range(1, TODAY + 1):
        on = weeks.on(day)
        for period in _ended_before(on):
            at = weeks.at(day, KEPT_AT[period.kind].isoformat("minutes"))
            yield Act(at=at, by="", command=_keeping(period))


def go_through(command: GoThrough, *, by: Person, at: datetime) -> None:
    site = Site.objects.get(pk=command.site_id)
    for one in open_at_site(site, at=at):
        exceedance = one.told.exceedance
        if not one.told.actions:
            action, note = _ACTS.get(exceedance.parameter, _ELSE)
            told = ActOnReading(
                id=ident(f"act:{exceedance.last.reading}:{exceedance.parameter}"),
                reading_id=exceedance.last.reading,
                action=action,
                note=note,
                happened_at=at - timedelta(minutes=10),
            )
            act_on_reading(told, by=by, at=at)


def _ended_before(on: date) -> Iterator[Period]:
    last = on - timedelta(days=1)
    found = (period_of(kind, last) for kind in (WEEK, MONTH))
    yield from (period for period in found if period.ends_on == last)


def _keeping(period: Period) -> KeepReport:
    return KeepReport(
        id=house_id(SITE_ID, period),
        site_id=SITE_ID,
        kind=period.kind,
        begins_on=period.begins_on,
    )
