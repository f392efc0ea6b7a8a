"""The book of a lot: what came, what went, what is left, and whether it ever closed."""

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import groupby
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Account:
    """A lot in a vessel."""

    lot: UUID
    vessel: UUID


@dataclass(frozen=True, slots=True, kw_only=True)
class Posting:
    """``count`` animals pass from ``source`` to ``target``; None is outside or gone."""

    at: datetime
    kind: str
    count: int
    source: Account | None = None
    target: Account | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortfall:
    """At ``at``, ``wanted`` should have left ``account`` where ``held`` were."""

    account: Account
    at: datetime
    held: int
    wanted: int


def held(postings: Iterable[Posting], *, at: datetime | None = None) -> dict[Account, int]:
    """Return how many each account holds at ``at``, or after everything; empty ones left out."""
    balances: Counter[Account] = Counter()
    for posting in postings:
        if at is None or posting.at <= at:
            balances.update(_into(posting))
            balances.subtract(_out_of(posting))
    return {account: count for account, count in balances.items() if count}


def shortfall(postings: Iterable[Posting]) -> Shortfall | None:
    """Return the first moment at which more would have left an account than it held.

    What came at a moment came before what left at it.
    """
    balances: dict[Account, int] = defaultdict(int)
    for at, together in groupby(sorted(postings, key=lambda one: one.at), lambda one: one.at):
        moment = list(together)
        coming, going = _totals(moment, _into), _totals(moment, _out_of)
        for account, count in coming.items():
            balances[account] += count
        for account, count in going.items():
            if count > balances[account]:
                return Shortfall(account=account, at=at, held=balances[account], wanted=count)
            balances[account] -= count
    return None


def within(posting: Posting, lots: Collection[UUID]) -> Posting:
    """Return what it does to these lots alone: every other account is outside."""
    source, target = _inside(posting.source, lots), _inside(posting.target, lots)
    return replace(posting, source=source, target=target)


def totals(postings: Iterable[Posting], lot: UUID) -> dict[str, int]:
    """Return how many came into the lot, and left it, by kind.

    Moves within the lot change nothing. What left by a kind that also comes, such as a
    correction or a merger, is counted under the kind with ``_OUT``.
    """
    found: Counter[str] = Counter()
    for posting in postings:
        comes = posting.target is not None and posting.target.lot == lot
        goes = posting.source is not None and posting.source.lot == lot
        if comes and not goes:
            found[posting.kind] += posting.count
        if goes and not comes:
            found[f"{posting.kind}_OUT"] += posting.count
    return dict(found)


def _inside(account: Account | None, lots: Collection[UUID]) -> Account | None:
    return account if account is not None and account.lot in lots else None


def _into(posting: Posting) -> dict[Account, int]:
    return {posting.target: posting.count} if posting.target else {}


def _out_of(posting: Posting) -> dict[Account, int]:
    return {posting.source: posting.count} if posting.source else {}


def _totals(
    postings: list[Posting], side: Callable[[Posting], Mapping[Account, int]]
) -> Counter[Account]:
    found: Counter[Account] = Counter()
    for posting in postings:
        found.update(side(posting))
    return found
