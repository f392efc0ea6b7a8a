"""Everybody's trails at once, and where each bundle has gone."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import inf
from typing import Final

from facility.rules.assignment.bundles import Bundle
from facility.rules.assignment.terms import Hand, Piece
from facility.rules.assignment.trail import Trail

# Rounds of a day that begin clean anew: morning, noon, evening, and one to spare.
LAPS: Final = range(4)


@dataclass(frozen=True, slots=True)
class Room:
    """Where a bundle could go: a lap for each of its pieces, and what that costs."""

    cost_min: float
    hand: str
    laps: tuple[int, ...]


class Roster:
    def __init__(self, hands: Iterable[Hand]) -> None:
        self.trails: Mapping[str, Trail] = {hand.key: Trail(hand) for hand in hands}
        self.placed: dict[Bundle, Room] = {}
        self._keys: set[str] = set()

    def best(self, bundle: Bundle, *, under_min: float = inf) -> Room | None:
        """The cheapest room below a cost in anybody's round."""
        best: Room | None = None
        for key in bundle.hands:
            room = self.room(bundle, key, under_min=under_min)
            if room is not None:
                best, under_min = room, room.cost_min
        return best

    def room(self, bundle: Bundle, key: str, *, under_min: float = inf) -> Room | None:
        trail = self.trails[key]
        if len(bundle.pieces) > 1:
            return _room_for_many(bundle.pieces, trail, under_min)
        fit = trail.best(bundle.pieces[0], LAPS, under_min=under_min)
        return None if fit is None else Room(fit.cost_min, key, (fit.lap,))

    def put(self, bundle: Bundle, room: Room) -> None:
        for piece, lap in zip(bundle.pieces, room.laps, strict=True):
            self.trails[room.hand].put(piece, lap)
            self._keys.add(piece.key)
        self.placed[bundle] = room

    def take(self, bundle: Bundle) -> Room:
        """Take a bundle out; the room that comes back costs what its going has saved."""
        room = self.placed.pop(bundle)
        trail = self.trails[room.hand]
        before = trail.cost_min
        for piece in reversed(bundle.pieces):
            trail.take(piece)
            self._keys.discard(piece.key)
        return Room(before - trail.cost_min, room.hand, room.laps)

    def is_placed(self, key: str) -> bool:
        return key in self._keys

    def cost_min(self) -> float:
        return sum(trail.cost_min for trail in self.trails.values())


def _room_for_many(pieces: tuple[Piece, ...], trail: Trail, under_min: float) -> Room | None:
    """Put one after the other in, each where it comes after what it follows; then undo."""
    before, laps = trail.cost_min, dict[Piece, int]()
    is_room = trail.more_min(sum(piece.minutes for piece in pieces)) < under_min
    for piece in pieces if is_room else ():
        fit = trail.best(piece, range(_first_lap(piece, laps), LAPS.stop))
        if fit is None:
            is_room = False
            break
        trail.put(piece, fit.lap)
        laps[piece] = fit.lap
    cost_min = trail.cost_min - before
    for piece in laps:
        trail.take(piece)
    is_room = is_room and cost_min < under_min
    return Room(cost_min, trail.hand.key, tuple(laps.values())) if is_room else None


def _first_lap(piece: Piece, laps: Mapping[Piece, int]) -> int:
    """The lap of what it follows, or the next where it would stand before it in the same one."""
    first = next((one for one in laps if one.key == piece.after), None)
    return 0 if first is None else laps[first] + int(_place(piece) < _place(first))


def _place(piece: Piece) -> tuple[int, int, int, int, str]:
    return (piece.rank, piece.stand, piece.opens_min, piece.late_min, piece.key)
