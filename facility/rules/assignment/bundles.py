"""Pieces of which one must follow another are kept in one pair of hands, where one can do all."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from facility.rules.assignment.terms import Hand, Piece


@dataclass(frozen=True, slots=True, eq=False)
class Bundle:
    """Pieces in the order they must be done, and those who may do all of them.

    ``first`` are keys of pieces in other hands that must be placed before any of these.
    """

    pieces: tuple[Piece, ...]
    hands: tuple[str, ...]
    first: frozenset[str] = frozenset()


def bundles(pieces: Sequence[Piece], hands: Iterable[Hand]) -> list[Bundle]:
    """Return every piece in exactly one bundle.

    Where no one person can do both, the later piece waits until the earlier one's time is up:
    then it cannot be done before it, whoever does either.
    """
    hands = tuple(hands)
    known = {piece.key: piece for piece in pieces}
    bundle_of: dict[str, Bundle] = {}
    for piece in _in_order(pieces, known):
        alone = Bundle((piece,), _able(piece, hands))
        before = bundle_of.get(piece.after)
        joined = _joined(before, alone) if before else alone
        for each in joined.pieces:
            bundle_of[each.key] = joined
    return list(dict.fromkeys(bundle_of.values()))


def _in_order(pieces: Sequence[Piece], known: Mapping[str, Piece]) -> list[Piece]:
    """What goes before comes before; a circle is broken where it is met."""
    done: dict[str, Piece] = {}
    for piece in pieces:
        chain: list[Piece] = []
        step: Piece | None = piece
        while step is not None and step.key not in done and step not in chain:
            chain.append(step)
            step = known.get(step.after)
        done.update({each.key: each for each in reversed(chain)})
    return list(done.values())


def _able(piece: Piece, hands: Iterable[Hand]) -> tuple[str, ...]:
    able = tuple(hand.key for hand in hands if hand.may(piece))
    return (piece.hand,) if piece.hand in able else able


def _joined(before: Bundle, later: Bundle) -> Bundle:
    shared = tuple(key for key in before.hands if key in later.hands)
    if shared:
        return Bundle((*before.pieces, *later.pieces), shared, before.first)
    piece = later.pieces[0]
    held_up_by = next(each for each in before.pieces if each.key == piece.after)
    waits = replace(piece, opens_min=max(piece.opens_min, held_up_by.late_min))
    return Bundle((waits,), later.hands, frozenset([piece.after]))
