"""A first assignment, dearest first into the cheapest room, then bettered move by move.

The same question always has the same answer: nothing here is left to chance or to the clock.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain

from facility.rules.assignment.bundles import Bundle, bundles
from facility.rules.assignment.following import follow
from facility.rules.assignment.roster import Roster
from facility.rules.assignment.search import bettered
from facility.rules.assignment.terms import (
    FIRST,
    KEPT,
    NO_SKILL,
    NO_TIME,
    NOBODY_ON,
    WINDOW,
    Hand,
    Left,
    Piece,
    Plan,
    left_min,
)
from facility.rules.assignment.trail import Trail


def assign(pieces: Iterable[Piece], hands: Iterable[Hand]) -> Plan:
    """Share the pieces out and better it: each goes to one person, or is left and says why."""
    return _planned(tuple(pieces), tuple(hands), is_searched=True)


def shared_out(pieces: Iterable[Piece], hands: Iterable[Hand]) -> Plan:
    """The first assignment alone, to set the search beside."""
    return _planned(tuple(pieces), tuple(hands), is_searched=False)


def _planned(pieces: Sequence[Piece], hands: Sequence[Hand], *, is_searched: bool) -> Plan:
    roster = Roster(hands)
    waiting = _put_first(roster, sorted(bundles(pieces, hands), key=_urgency))
    if is_searched:
        waiting = bettered(roster, waiting)
    left = _left(roster, _apart(roster, waiting), hands)
    return _plan(roster, left, {piece.key: piece for piece in pieces})


def _urgency(bundle: Bundle) -> tuple[bool, bool, int, int, int, int, int, str]:
    """What is fixed, what waits for nobody, what is due soon, what few may do: in this order."""
    first = bundle.pieces[0]
    return (
        not first.hand,
        bool(bundle.first),
        min(piece.late_min for piece in bundle.pieces),
        len(bundle.hands),
        first.rank,
        first.stand,
        -sum(piece.minutes for piece in bundle.pieces),
        first.key,
    )


def _put_first(roster: Roster, wanted: Iterable[Bundle]) -> list[Bundle]:
    """Place what has room; return the rest."""
    rest: list[Bundle] = []
    for bundle in wanted:
        room = roster.best(bundle) if all(map(roster.is_placed, bundle.first)) else None
        if room is None:
            rest.append(bundle)
        else:
            roster.put(bundle, room)
    return rest


def _apart(roster: Roster, waiting: Iterable[Bundle]) -> list[Bundle]:
    """Bundles without room, taken apart: the first of them may have room by itself."""
    return _put_first(roster, chain.from_iterable(map(_singles, waiting)))


def _singles(bundle: Bundle) -> Iterable[Bundle]:
    by_key = {piece.key: piece for piece in bundle.pieces}
    for piece in bundle.pieces:
        before = by_key.get(piece.after)
        if before is None:
            yield Bundle((piece,), bundle.hands, bundle.first)
        else:
            waits = replace(piece, opens_min=max(piece.opens_min, before.late_min))
            yield Bundle((waits,), bundle.hands, frozenset([before.key]))


def _left(roster: Roster, waiting: Iterable[Bundle], hands: Sequence[Hand]) -> list[Left]:
    return [
        Left(piece=piece, why=_why(bundle, piece, roster, hands))
        for bundle in waiting
        for piece in bundle.pieces
    ]


def _why(bundle: Bundle, piece: Piece, roster: Roster, hands: Sequence[Hand]) -> str:
    able = [hand for hand in hands if hand.may(piece)]
    if not hands:
        return NOBODY_ON
    if not able:
        return NO_SKILL
    if piece.hand in {hand.key for hand in able}:
        return KEPT
    if not all(map(roster.is_placed, bundle.first)):
        return FIRST
    has_room = any(Trail(hand).fit(piece, 0) for hand in able if hand.key in bundle.hands)
    return NO_TIME if has_room else WINDOW


def _plan(roster: Roster, left: Sequence[Left], asked: dict[str, Piece]) -> Plan:
    """What stays with its person though it has no room comes last there, and is late."""
    kept = [one.piece for one in left if one.why == KEPT]
    rounds = {
        key: tuple(
            follow(
                trail.hand,
                [
                    *(asked[piece.key] for piece in trail.pieces),
                    *(asked[piece.key] for piece in kept if piece.hand == key),
                ],
            )
        )
        for key, trail in roster.trails.items()
    }
    cost_min = roster.cost_min() + sum(left_min(one.piece) for one in left)
    return Plan(rounds=rounds, left=tuple(left), cost_min=cost_min)
