"""An order of work against the clock, also one somebody made by hand."""

from collections.abc import Iterable, Iterator

from facility.rules.assignment.terms import Hand, Piece, Stop, begin_min, leg_min, walk_min


def follow(hand: Hand, pieces: Iterable[Piece]) -> Iterator[Stop]:
    """Yield the stops in this very order; one that is late or past the shift does not fit."""
    ready, before = 0, None
    for piece in pieces:
        leg = leg_min(before, piece)
        found = begin_min(hand, piece, ready_min=ready + leg)
        begins = max(ready + leg, piece.opens_min) if found is None else found
        yield Stop(
            piece=piece,
            begins_min=begins,
            walk_min=0 if before is None else walk_min(before.stand, piece.stand),
            has_break=before is not None and piece.rank < before.rank,
            fits=found is not None and begins + piece.minutes <= piece.late_min,
        )
        ready, before = begins + piece.minutes, piece
