"""What is shared out, among whom, and what comes of it. Times are minutes of one day.

That a change of area costs a minute and more the further it lies along the walk, and that
changing kit and disinfecting hands takes five, is common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

BREAK_MIN: Final = 5
_AWAY_MIN: Final = 1
_FURTHEST_MIN: Final = 4
# What a piece left costs besides its minutes: more than any round could cost by taking it in.
_LEFT_MIN: Final = 60.0
_LEFT_A_MINUTE: Final = 4.0

NOBODY_ON: Final = "Nobody is on."
NO_SKILL: Final = "Nobody who is on has the skill for it."
WINDOW: Final = "Nobody who may do it is on while it may be done."
NO_TIME: Final = "There is no time left for it among those who may do it."
FIRST: Final = "What must come before it does not fit."
KEPT: Final = "It stays with its person, who has no time left for it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A task of the day: begun at ``opens_min`` at the earliest, over by ``late_min``.

    ``stand`` is its place along the walk through the areas. ``after`` is the key of what goes
    before. ``hand`` is the person it stays with, whatever else changes.
    """

    key: str
    minutes: int
    opens_min: int
    late_min: int
    rank: int = 1
    stand: int = 0
    skill: str = ""
    after: str = ""
    hand: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Somebody who is on, during ``spans`` (from, to), in order and apart."""

    key: str
    spans: tuple[tuple[int, int], ...]
    skills: frozenset[str] = frozenset()

    @property
    def capacity_min(self) -> int:
        return sum(until - since for since, until in self.spans)

    def may(self, piece: Piece) -> bool:
        return not piece.skill or piece.skill in self.skills


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A piece in its round: ``has_break`` when kit is changed and hands disinfected before it."""

    piece: Piece
    begins_min: int
    walk_min: int
    has_break: bool
    fits: bool

    @property
    def ends_min(self) -> int:
        return self.begins_min + self.piece.minutes

    @property
    def leg_min(self) -> int:
        """Minutes from the stop before, the break included."""
        return self.walk_min + (BREAK_MIN if self.has_break else 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A piece that does not fit, and the sentence that says why."""

    piece: Piece
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """``rounds`` has every hand; a piece that stays with its person may stand in both.

    ``cost_min`` is what the search lowers: minutes worked, walked and spent on breaks, how
    unevenly, and what is left.
    """

    rounds: Mapping[str, tuple[Stop, ...]]
    left: tuple[Left, ...]
    cost_min: float


def left_min(piece: Piece) -> float:
    """What it costs to leave a piece."""
    return _LEFT_MIN + _LEFT_A_MINUTE * piece.minutes


def walk_min(here: int, there: int) -> int:
    """Minutes from one stand to another; a detour is never shorter."""
    return _AWAY_MIN + min(abs(here - there), _FURTHEST_MIN) if here != there else 0


def leg_min(before: Piece | None, after: Piece | None) -> int:
    """Minutes between two pieces: the walk, and the break where the later is the cleaner."""
    if before is None or after is None:
        return 0
    walk = walk_min(before.stand, after.stand) if before.stand != after.stand else 0
    return walk + BREAK_MIN if after.rank < before.rank else walk


def begin_min(hand: Hand, piece: Piece, *, ready_min: int) -> int | None:
    """The first moment from ``ready_min`` on that leaves the piece in one span; None without."""
    earliest = max(ready_min, piece.opens_min)
    for since, until in hand.spans:
        begins = max(earliest, since)
        if begins + piece.minutes <= until:
            return begins
    return None
