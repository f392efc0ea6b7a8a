"""What was fed today and what the biofilter has proven it can take."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from tanks.models import Feeding
from tanks.queries.acts import feedings_today, latest_cycle_in
from tanks.queries.cycles import course, open_cycle_in
from tanks.queries.proofs import Certified
from tanks.queries.waters import Water


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedToday:
    """``protein_g`` is the protein in all that was fed today: what ammonia comes from."""

    feedings: tuple[Feeding, ...]
    protein_g: Decimal
    certified: Certified | None

    @property
    def certified_protein_g(self) -> Decimal | None:
        """The protein of a day's certified feed, or None while none is in force."""
        if self.certified is None or not self.certified.is_in_force:
            return None
        certificate = self.certified.certificate
        return certificate.feed_g_per_day * certificate.protein_share

    def is_above(self, more_protein_g: Decimal = Decimal(0)) -> bool:
        most = self.certified_protein_g
        return most is not None and self.protein_g + more_protein_g > most


def feed_today(water: Water) -> FeedToday:
    feedings = tuple(feedings_today(water))
    return FeedToday(
        feedings=feedings,
        protein_g=_protein_g(feedings),
        certified=certified_in(water, at=water.at),
    )


def certified_in(water: Water, *, at: datetime) -> Certified | None:
    """Return the certificate of the water's latest start-up: in force, or else the latest."""
    cycle = open_cycle_in(water) or latest_cycle_in(water)
    return course(cycle, at=at).certificate if cycle else None


def _protein_g(feedings: Iterable[Feeding]) -> Decimal:
    return sum((row.grams * row.protein_share for row in feedings), Decimal(0))
