"""How much of its certified feed a water may be given now, and what it is given."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from quarantine.rules.ramping import Rung, percent_on, rungs
from quarantine.rules.stays import PolicyValues
from tanks.models import Feeding, Reading
from tanks.queries.acts import animals_since
from tanks.queries.feeds import certified_in
from tanks.queries.measures import measured
from tanks.queries.proofs import Certified
from tanks.queries.readings import history
from tanks.queries.waters import Water, spans_of, within

_LATELY = timedelta(days=7)
_PARAMETERS = ("TAN", "NITRITE")


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRamp:
    """Feed in g/day at the certificate's share of protein; None without a certificate.

    ``present_g_per_day`` is the most that was given on one of the last seven days.
    """

    certified: Certified | None
    present_g_per_day: float
    rungs: tuple[Rung, ...]
    today: date

    @property
    def certified_g_per_day(self) -> float | None:
        return float(self.certified.certificate.feed_g_per_day) if self.certified else None

    @property
    def percent_now(self) -> int:
        return percent_on(self.today, self.rungs)


def feed_ramp(water: Water, policy: PolicyValues) -> FeedRamp:
    """Return where the water stands on its way to the full certified feed.

    A water nobody has stocked yet stands at the first step from the day of the first entry.
    """
    zone, at = water.anchor.site.zone, water.at
    today = at.astimezone(zone).date()
    held = certified_in(water, at=at)
    begun = animals_since(water)
    stocked_on = begun.astimezone(zone).date() if begun else today
    return FeedRamp(
        certified=held,
        present_g_per_day=_present(water, held),
        rungs=tuple(
            rungs(
                _clean_days(water, begun, held) if begun and held else {},
                stocked_on=stocked_on,
                today=today,
                first_percent=policy.first_feed_percent,
                clean_days=policy.clean_days,
            )
        ),
        today=today,
    )


def _present(water: Water, held: Certified | None) -> float:
    share = float(held.certificate.protein_share) if held else 1.0
    spans = spans_of(water.anchor, since=water.at - _LATELY, until=water.at)
    zone = water.anchor.site.zone
    protein: defaultdict[date, float] = defaultdict(float)
    for row in Feeding.objects.current().filter(within(spans)).order_by("happened_at", "pk"):
        day = row.happened_at.astimezone(zone).date()
        protein[day] += float(row.grams * row.protein_share)
    return max(protein.values(), default=0.0) / share


def _clean_days(water: Water, begun: datetime, held: Certified) -> dict[date, bool | None]:
    """A day is clean when TAN and nitrite were read, and every reading below the limit."""
    limit = float(held.certificate.cycle.policy.challenge_limit_mg_l_n)
    zone = water.anchor.site.zone
    read: defaultdict[date, defaultdict[str, list[bool | None]]] = defaultdict(
        lambda: defaultdict(list)
    )
    spans = spans_of(water.anchor, since=begun, until=water.at)
    for row in history(spans).filter(parameter__in=_PARAMETERS):
        read[row.happened_at.astimezone(zone).date()][row.parameter].append(_below(row, limit))
    return {
        day: all(found[name] and all(found[name]) for name in _PARAMETERS)
        for day, found in read.items()
    }


def _below(row: Reading, limit: float) -> bool | None:
    return measured(row).is_within(limit)
