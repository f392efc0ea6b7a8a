"""Deaths of a site week by week, and days between them."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import Final

from facility.models import Site
from quarantine.queries.deaths import DeathTold, deaths_in
from quarantine.queries.tides import Tide, tide
from quarantine.rules.control_charts import GapChart, ShareChart, gap_chart, share_chart
from tanks.models import Vessel

WEEKS: Final = 26
_WEEK: Final = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    begins_on: date
    deaths: int
    at_risk: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Charted:
    """``shares`` has one point for each week in which animals were here; ``weeks`` the same."""

    weeks: tuple[Week, ...]
    shares: ShareChart | None
    gaps: GapChart | None


def charted(site: Site, *, at: datetime) -> Charted:
    """The last 26 whole weeks, Monday to Sunday by the site's clock."""
    edges = _edges(site, at)
    vessels = set(Vessel.objects.filter(site=site).values_list("pk", flat=True))
    flow = tide(vessels, since=edges[0], until=edges[-1])
    deaths = list(deaths_in(vessels, since=edges[0], until=edges[-1]))
    told = [_week(site, flow, deaths, begin, end) for begin, end in pairwise(edges)]
    weeks = tuple(week for week in told if week.at_risk)
    return Charted(
        weeks=weeks,
        shares=share_chart([week.deaths for week in weeks], [week.at_risk for week in weeks]),
        gaps=gap_chart(_gaps(site, deaths)),
    )


def _edges(site: Site, at: datetime) -> list[datetime]:
    today = at.astimezone(site.zone).date()
    monday = today - timedelta(days=today.weekday())
    days = [monday - n * _WEEK for n in range(WEEKS, -1, -1)]
    return [datetime.combine(day, time(), tzinfo=site.zone) for day in days]


def _week(site: Site, flow: Tide, deaths: list[DeathTold], begin: datetime, end: datetime) -> Week:
    died = sum(death.count for death in deaths if begin < death.at <= end)
    return Week(
        begins_on=begin.astimezone(site.zone).date(),
        deaths=died,
        at_risk=flow.at_risk(begin, end),
    )


def _gaps(site: Site, deaths: list[DeathTold]) -> list[int]:
    """Days without a death between days with one."""
    days = sorted({death.at.astimezone(site.zone).date() for death in deaths})
    return [(after - before).days - 1 for before, after in pairwise(days)]
