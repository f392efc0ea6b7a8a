"""Bettering an assignment: one bundle, or a whole run of one area, goes where it costs less.

Every move lowers the cost or places more work, so it ends; the sweeps are counted, not timed.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Final, TypeAlias

from facility.rules.assignment.bundles import Bundle
from facility.rules.assignment.roster import LAPS, Room, Roster

_Run: TypeAlias = tuple[Bundle, ...]

_SWEEPS: Final = 6
_GAIN_MIN: Final = 1e-6
# Bundles taken up, and put back if that made no room for another, in all sweeps together.
_TRIES: Final = 600


def bettered(roster: Roster, waiting: Iterable[Bundle]) -> list[Bundle]:
    """Lower the cost until no single move does; return what still has no room."""
    waiting, tries = list(waiting), iter(range(_TRIES))
    for _ in range(_SWEEPS):
        moved = [_moves(roster, bundle) for bundle in list(roster.placed)]
        moved += [_moves_run(roster, run) for run in _runs(roster)]
        rest = _made_room(roster, waiting, tries)
        if not any(moved) and len(rest) == len(waiting):
            break
        waiting = rest
    return waiting


def _moves(roster: Roster, bundle: Bundle) -> bool:
    held = roster.take(bundle)
    best = roster.best(bundle, under_min=held.cost_min - _GAIN_MIN)
    roster.put(bundle, best or held)
    return best is not None


def _runs(roster: Roster) -> Iterator[tuple[str, _Run]]:
    """Neighbours of one area in one person's round, each a bundle by itself."""
    alone = {bundle.pieces[0].key: bundle for bundle in roster.placed if len(bundle.pieces) == 1}
    for key, trail in roster.trails.items():
        for _, run in groupby(list(trail.pieces), key=lambda piece: (piece.rank, piece.stand)):
            pieces = list(run)
            if len(pieces) > 1 and all(piece.key in alone for piece in pieces):
                yield key, tuple(alone[piece.key] for piece in pieces)


def _moves_run(roster: Roster, found: tuple[str, _Run]) -> bool:
    """Let somebody else do the whole run, if that costs less."""
    owner, run = found
    if any(roster.placed[bundle].hand != owner for bundle in run):
        return False
    saving_min = roster.trails[owner].saving_min(bundle.pieces[0] for bundle in run)
    for key, lap in _worth_trying(roster, run, owner, saving_min):
        if _goes_to(roster, run, key, lap, saving_min):
            return True
    return False


def _worth_trying(
    roster: Roster, run: _Run, owner: str, saving_min: float
) -> list[tuple[str, int]]:
    """Where the first of the run has room, and all of it might cost less than it does now."""
    minutes = sum(bundle.pieces[0].minutes for bundle in run)
    shared = set.intersection(*(set(bundle.hands) for bundle in run)) - {owner}
    likely = [
        key for key in shared if roster.trails[key].more_min(minutes) < saving_min - _GAIN_MIN
    ]
    fits = [(roster.trails[key].best(run[0].pieces[0], LAPS), key) for key in likely]
    return [(key, fit.lap) for fit, key in sorted(fits, key=lambda one: one[1]) if fit]


def _goes_to(roster: Roster, run: _Run, key: str, lap: int, saving_min: float) -> bool:
    before = roster.trails[key].cost_min
    held: list[tuple[Bundle, Room]] = []
    for bundle in run:
        if roster.trails[key].fit(bundle.pieces[0], lap) is None:
            break
        held.append((bundle, roster.take(bundle)))
        roster.put(bundle, Room(0.0, key, (lap,)))
    else:
        if roster.trails[key].cost_min - before < saving_min - _GAIN_MIN:
            return True
    for bundle, _ in held:
        roster.take(bundle)
    for bundle, room in held:
        roster.put(bundle, room)
    return False


def _made_room(roster: Roster, waiting: list[Bundle], tries: Iterator[int]) -> list[Bundle]:
    """Place what waits, if need be by moving one other bundle out of the way; return the rest."""
    return [bundle for bundle in waiting if not _squeezed_in(roster, bundle, tries)]


def _squeezed_in(roster: Roster, bundle: Bundle, tries: Iterator[int]) -> bool:
    if not all(map(roster.is_placed, bundle.first)):
        return False
    if room := roster.best(bundle):
        roster.put(bundle, room)
        return True
    ways = [one for one, room in roster.placed.items() if room.hand in bundle.hands]
    return any(_makes_way(roster, one, bundle) for _, one in zip(tries, ways, strict=False))


def _makes_way(roster: Roster, held: Bundle, wanted: Bundle) -> bool:
    was = roster.take(held)
    room = roster.room(wanted, was.hand)
    if room is not None:
        roster.put(wanted, room)
        if other := roster.best(held):
            roster.put(held, other)
            return True
        roster.take(wanted)
    roster.put(held, was)
    return False
