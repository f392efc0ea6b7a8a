"""A person's round while it is being made: what another piece in it would cost, in one look.

The pieces stand in laps. Within a lap they go from clean to dirty and along the walk; only a
new lap may begin cleaner than the one before it ended. For each stop it is known how far it may
be pushed back before it, or a later one, is late (the slack of the literature on vehicle
routing with time windows: Savelsbergh 1992, from memory, unverified).
"""

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, TypeAlias

from facility.rules.assignment.terms import Hand, Piece, begin_min, leg_min

_Key: TypeAlias = tuple[int, int, int, int, int, str]
_NO_END: Final = 10**6


@dataclass(frozen=True, slots=True)
class Fit:
    """Room for a piece; ``cost_min`` is what it adds to walking, breaks and unevenness."""

    cost_min: float
    lap: int


class Trail:
    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.load_min = 0
        self.pieces: list[Piece] = []
        self._keys: list[_Key] = []
        self._held: dict[str, _Key] = {}
        self._begins: list[int] = []
        self._slack: list[int] = []
        self._is_timed = True
        self._capacity_min = max(hand.capacity_min, 1)

    @property
    def cost_min(self) -> float:
        return self.load_min + self.load_min**2 / self._capacity_min

    def more_min(self, minutes: int) -> float:
        """What so many minutes more (less, where negative) add to the cost."""
        return minutes + (2 * self.load_min + minutes) * minutes / self._capacity_min

    def fit(self, piece: Piece, lap: int) -> Fit | None:
        """What the piece would cost in this lap; None when it or a later stop would be late."""
        return self._fit(piece, lap, bisect_left(self._keys, _key(piece, lap)))

    def _fit(self, piece: Piece, lap: int, at: int) -> Fit | None:
        if not self._is_timed:
            self._time()
        before, after = self._around(at, at)
        to_it, from_it = leg_min(before, piece), leg_min(piece, after)
        ends = self._ends(piece, at, to_it)
        if ends is None or (after is not None and not self._bears(after, at, ends + from_it)):
            return None
        more = piece.minutes + to_it + from_it - leg_min(before, after)
        return Fit(self.more_min(more), lap)

    def best(self, piece: Piece, laps: range, *, under_min: float = _NO_END) -> Fit | None:
        """The cheapest room below a cost in any of these laps, the earliest of equals."""
        if self.more_min(piece.minutes) >= under_min:
            return None
        best, seen = None, -1
        for lap in laps:
            at = bisect_left(self._keys, _key(piece, lap))
            fit = self._fit(piece, lap, at) if at != seen else None
            if fit is not None and fit.cost_min < under_min:
                best, under_min = fit, fit.cost_min
            seen = at
        return best

    def saving_min(self, run: Iterable[Piece]) -> float:
        """What the cost would fall by without these neighbours of one area."""
        places = sorted(bisect_left(self._keys, self._held[piece.key]) for piece in run)
        return -self.more_min(-self._adds(places[0], places[-1] + 1))

    def put(self, piece: Piece, lap: int) -> None:
        """Take in what ``fit`` has found room for."""
        key = _key(piece, lap)
        at = bisect_left(self._keys, key)
        self.pieces.insert(at, piece)
        self._keys.insert(at, key)
        self._held[piece.key] = key
        self.load_min += self._adds(at, at + 1)
        self._is_timed = False

    def take(self, piece: Piece) -> int:
        """Take the piece out again and return the lap it stood in; nothing gets later by that."""
        key = self._held.pop(piece.key)
        at = bisect_left(self._keys, key)
        self.load_min -= self._adds(at, at + 1)
        del self.pieces[at], self._keys[at]
        self._is_timed = False
        return key[0]

    def _adds(self, first: int, end: int) -> int:
        """Minutes the stops from ``first`` to ``end``, of one area and lap, add to the rest."""
        before, after = self._around(first, end)
        legs = leg_min(before, self.pieces[first]) + leg_min(self.pieces[end - 1], after)
        return sum(p.minutes for p in self.pieces[first:end]) + legs - leg_min(before, after)

    def _around(self, first: int, end: int) -> tuple[Piece | None, Piece | None]:
        before = self.pieces[first - 1] if first else None
        return before, self.pieces[end] if end < len(self.pieces) else None

    def _ends(self, piece: Piece, at: int, leg: int) -> int | None:
        ready = self._begins[at - 1] + self.pieces[at - 1].minutes + leg if at else 0
        begins = begin_min(self.hand, piece, ready_min=ready)
        if begins is None or begins + piece.minutes > piece.late_min:
            return None
        return begins + piece.minutes

    def _bears(self, piece: Piece, at: int, ready_min: int) -> bool:
        """Whether the stop that stands there now may begin as late as that."""
        begins = begin_min(self.hand, piece, ready_min=ready_min)
        return begins is not None and begins - self._begins[at] <= self._slack[at]

    def _time(self) -> None:
        """Work out when each stop begins and how far it may be pushed back."""
        ready, before, legs, begins_all = 0, None, list[int](), list[int]()
        for piece in self.pieces:
            leg = leg_min(before, piece)
            # What once fitted still does: a stop is only ever put where there is room.
            begins = begin_min(self.hand, piece, ready_min=ready + leg)
            begins_all.append(ready + leg if begins is None else begins)
            legs.append(leg)
            ready, before = begins_all[-1] + piece.minutes, piece
        self._begins, self._is_timed = begins_all, True
        self._slack = self._slacks([*legs, 0][1:])

    def _slacks(self, legs_after: list[int]) -> list[int]:
        slacks: list[int] = []
        room = begins_after = _NO_END
        for piece, begins, leg in zip(
            reversed(self.pieces), reversed(self._begins), reversed(legs_after), strict=True
        ):
            ends = begins + piece.minutes
            room = min(self._latest_end(piece, begins) - ends, begins_after - ends - leg + room)
            slacks.append(room)
            begins_after = begins
        slacks.reverse()
        return slacks

    def _latest_end(self, piece: Piece, begins: int) -> int:
        """The latest it may end without leaving its span."""
        for since, until in self.hand.spans:
            if since <= begins and begins + piece.minutes <= until:
                return min(piece.late_min, until)
        return begins + piece.minutes


def _key(piece: Piece, lap: int) -> _Key:
    return (lap, piece.rank, piece.stand, piece.opens_min, piece.late_min, piece.key)
