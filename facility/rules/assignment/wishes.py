"""What a person makes of a proposal: gives tasks on, does them earlier or later, keeps them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from facility.rules.assignment.following import follow
from facility.rules.assignment.terms import Hand, Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """Whose a task is to be (nobody's where ``person`` is empty), in the order wished.

    One that ``is_moved`` has no place among the others of its new person yet.
    """

    task: str
    person: str
    is_fixed: bool = False
    is_moved: bool = False


def given(wishes: Sequence[Wish], picked: Collection[str], person: str) -> list[Wish]:
    """Give the picked tasks to a person, or to nobody; what is given by hand stays there."""
    return [
        replace(wish, person=person, is_fixed=bool(person), is_moved=wish.person != person)
        if wish.task in picked
        else wish
        for wish in wishes
    ]


def kept(wishes: Sequence[Wish], picked: Collection[str], *, is_fixed: bool) -> list[Wish]:
    """Keep the picked tasks with their people when a new assignment is proposed, or let them go."""
    return [
        replace(wish, is_fixed=is_fixed and bool(wish.person)) if wish.task in picked else wish
        for wish in wishes
    ]


def nudged(wishes: Sequence[Wish], picked: Collection[str], *, is_earlier: bool) -> list[Wish]:
    """Let each picked task change places with its person's task before, or after."""
    found = list(wishes) if is_earlier else list(reversed(wishes))
    for at, wish in enumerate(found):
        if wish.task not in picked:
            continue
        before = [place for place in range(at) if found[place].person == wish.person]
        if before and found[before[-1]].task not in picked:
            found[before[-1]], found[at] = wish, found[before[-1]]
    return found if is_earlier else found[::-1]


def placed(hand: Hand, pieces: Sequence[Piece], piece: Piece) -> list[Piece]:
    """Put a piece where fewest stops are late and the way is shortest, the earliest of equals."""
    orders = [[*pieces[:at], piece, *pieces[at:]] for at in range(len(pieces) + 1)]
    return min(orders, key=lambda order: _price(hand, order))


def _price(hand: Hand, order: Sequence[Piece]) -> tuple[int, int, int]:
    stops = list(follow(hand, order))
    late = sum(not stop.fits for stop in stops)
    return _wrong_order(order), late, sum(stop.leg_min for stop in stops)


def _wrong_order(order: Sequence[Piece]) -> int:
    """How many pieces stand before what they must follow."""
    places = {piece.key: place for place, piece in enumerate(order)}
    return sum(places.get(piece.after, -1) > place for place, piece in enumerate(order))
