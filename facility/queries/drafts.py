"""A day's rounds while they are drawn up: a proposal, what is in force, or what a person made."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from facility.models import Person, Round, Shift
from facility.queries.rounds import Day
from facility.queries.work import TaskNow
from facility.rules.assignment import Hand, Piece, Stop, Wish, assign, follow, placed

NOT_GIVEN = "Given to nobody yet."


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftStop:
    one: TaskNow
    is_fixed: bool
    begins_at: datetime
    ends_at: datetime
    walk_min: int
    has_break: bool
    fits: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One person's round in the draft; ``busy_min`` counts work, walking and breaks."""

    person: Person
    shifts: tuple[Shift, ...]
    stops: tuple[DraftStop, ...]
    work_min: int
    busy_min: int
    capacity_min: int

    @property
    def late(self) -> int:
        return sum(not stop.fits for stop in self.stops)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    columns: tuple[Column, ...]
    left: tuple[tuple[TaskNow, str], ...]


def proposed(day: Day, wishes: Iterable[Wish] = ()) -> Draft:
    """The best that was found, with fixed tasks where they are."""
    fixed = {wish.task: wish.person for wish in wishes if wish.is_fixed and wish.person}
    pieces = [replace(piece, hand=fixed.get(piece.key, "")) for piece in day.pieces]
    plan = assign(pieces, day.hands)
    left = {one.piece.key: one.why for one in plan.left}
    return _draft(day, plan.rounds, fixed, left)


def arranged(day: Day, wishes: Sequence[Wish]) -> Draft:
    """Just what was wished, in that order, against the clock."""
    pieces = {piece.key: piece for piece in day.pieces}
    wanted: dict[str, list[Piece]] = {hand.key: [] for hand in day.hands}
    hands = {hand.key: hand for hand in day.hands}
    known = {w.task: w for w in wishes if w.task in pieces and w.person in hands}
    for wish in sorted(known.values(), key=lambda wish: wish.is_moved):
        stops, piece = wanted[wish.person], pieces[wish.task]
        if wish.is_moved:
            wanted[wish.person] = placed(hands[wish.person], stops, piece)
        else:
            stops.append(piece)
    rounds = {key: tuple(follow(hand, wanted[key])) for key, hand in hands.items()}
    fixed = {wish.task: wish.person for wish in known.values() if wish.is_fixed}
    return _draft(day, rounds, fixed, dict.fromkeys(pieces.keys() - known.keys(), NOT_GIVEN))


def wishes_in(draft: Draft) -> list[Wish]:
    """The draft as wishes, ready to be changed."""
    given = [
        Wish(task=str(stop.one.task.pk), person=str(column.person.pk), is_fixed=stop.is_fixed)
        for column in draft.columns
        for stop in column.stops
    ]
    taken = {wish.task for wish in given}
    left = [Wish(task=str(one.task.pk), person="") for one, _ in draft.left]
    return [*given, *(wish for wish in left if wish.task not in taken)]


def wishes_of(rounds: Iterable[Round]) -> list[Wish]:
    """What is in force, as wishes."""
    return [
        Wish(task=stop["task"], person=str(row.person_id), is_fixed=stop["is_fixed"])
        for row in rounds
        for stop in row.stops
    ]


def _draft(
    day: Day,
    rounds: Mapping[str, Sequence[Stop]],
    fixed: Mapping[str, str],
    left: Mapping[str, str],
) -> Draft:
    return Draft(
        columns=tuple(_column(day, hand, rounds[hand.key], fixed) for hand in day.hands),
        left=tuple((one, left[key]) for key, one in day.tasks.items() if key in left),
    )


def _column(day: Day, hand: Hand, stops: Sequence[Stop], fixed: Mapping[str, str]) -> Column:
    work_min = sum(stop.piece.minutes for stop in stops)
    return Column(
        person=day.people[hand.key],
        shifts=day.shifts[hand.key],
        stops=tuple(
            _stop(day, stop, is_fixed=fixed.get(stop.piece.key) == hand.key) for stop in stops
        ),
        work_min=work_min,
        busy_min=work_min + sum(stop.leg_min for stop in stops),
        capacity_min=hand.capacity_min,
    )


def _stop(day: Day, stop: Stop, *, is_fixed: bool) -> DraftStop:
    return DraftStop(
        one=day.tasks[stop.piece.key],
        is_fixed=is_fixed,
        begins_at=day.moment(stop.begins_min),
        ends_at=day.moment(stop.ends_min),
        walk_min=stop.walk_min,
        has_break=stop.has_break,
        fits=stop.fits,
    )
