"""What carries something along, until it is cleaned: a net, a person, a tank. Pure.

A carrier is another node of the trace after each cut: a cleaning, a break with kit and hands seen
to, a reset. ``name@2`` is the carrier after its second cut.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Final
from uuid import UUID

from quarantine.rules.books import Account, Posting
from quarantine.rules.tracing import Edge, Kind

# Between two days of work people wash and change; common practice, no source.
OFF_WORK: Final = timedelta(hours=8)
_MARK: Final = "@"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """From ``at`` on, nothing that a carrier held before counts.

    Of what happened at the same moment, what was recorded before it lies before. ``told`` is
    shown where the cut stopped a trace; empty for what goes without saying.
    """

    at: datetime
    recorded_at: datetime
    told: str = ""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A carrier between two cuts, within a period."""

    name: str
    start: datetime
    end: datetime


class Carriers:
    """Names carriers by the cuts they have had."""

    def __init__(self, cuts: Mapping[str, Iterable[Cut]]) -> None:
        self._cuts = {
            key: sorted(known, key=lambda cut: (cut.at, cut.recorded_at))
            for key, known in cuts.items()
        }
        self._moments = {
            key: [(cut.at, cut.recorded_at) for cut in known] for key, known in self._cuts.items()
        }

    def name(self, key: str, at: datetime, recorded_at: datetime) -> str:
        """Return the carrier's name at a moment."""
        return _named(key, bisect_right(self._moments.get(key, ()), (at, recorded_at)))

    def stretches(self, key: str, start: datetime, end: datetime) -> Iterator[Stretch]:
        """Yield the carrier's names over a period, each with its part of it."""
        moments = [at for at, _ in self._moments.get(key, ())]
        edges = [start, *(at for at in moments if start < at < end), end]
        for low, high in pairwise(edges):
            yield Stretch(_named(key, bisect_right(moments, low)), low, high)

    def barriers(self, kind: Kind) -> Iterator[Edge]:
        """Yield an edge for each cut worth telling, from the carrier before to the one after."""
        for key, known in self._cuts.items():
            for place, cut in enumerate(known):
                if cut.told:
                    yield Edge(
                        source=_named(key, place),
                        target=_named(key, place + 1),
                        start=cut.at,
                        end=cut.at,
                        kind=kind,
                        evidence=cut.told,
                        barrier=cut.told,
                    )


def carrier_of(name: str) -> str:
    """Return the carrier without its cuts."""
    return name.partition(_MARK)[0]


def off_work(contacts: Iterable[tuple[datetime, datetime]]) -> Iterator[Cut]:
    """Yield a cut where a person began again after hours without contact.

    ``contacts`` are moments with when they were recorded, in order.
    """
    before: datetime | None = None
    for at, _ in contacts:
        if before is not None and at - before >= OFF_WORK:
            yield Cut(at=before + OFF_WORK, recorded_at=before + OFF_WORK)
        before = at


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """A lot was in a vessel from ``start`` until ``end``, or still is."""

    lot: UUID
    vessel: UUID
    start: datetime
    end: datetime | None


def presences(postings: Iterable[Posting]) -> list[Presence]:
    """Return when each lot was in which vessel, by the book."""
    counts: dict[Account, int] = defaultdict(int)
    since: dict[Account, datetime] = {}
    found = []
    for posting in sorted(postings, key=lambda one: one.at):
        for account, change in _changes(posting):
            counts[account] += change
            if counts[account] > 0:
                since.setdefault(account, posting.at)
            elif account in since:
                found.append(_presence(account, since.pop(account), posting.at))
    return [*found, *(_presence(account, start, None) for account, start in since.items())]


def _changes(posting: Posting) -> Iterator[tuple[Account, int]]:
    if posting.target is not None:
        yield posting.target, posting.count
    if posting.source is not None:
        yield posting.source, -posting.count


def _presence(account: Account, start: datetime, end: datetime | None) -> Presence:
    return Presence(lot=account.lot, vessel=account.vessel, start=start, end=end)


def _named(key: str, cuts: int) -> str:
    return f"{key}{_MARK}{cuts}" if cuts else key
