"""What a person makes of a draft: nothing is lost, and only what was picked moves."""

from itertools import permutations

from hypothesis import given as draw
from hypothesis import strategies as st

from facility.rules.assignment import Hand, Piece, Wish, follow, given, kept, nudged, placed

_PEOPLE = st.sampled_from(["a", "b", ""])
_WISHES = st.lists(_PEOPLE, min_size=1, max_size=8).map(
    lambda people: [Wish(task=str(n), person=person) for n, person in enumerate(people)]
)
_PICKED = st.sets(st.integers(0, 7).map(str))


def _of(wishes: list[Wish], person: str) -> list[str]:
    return [wish.task for wish in wishes if wish.person == person]


@draw(_WISHES, _PICKED, _PEOPLE)
def test_given_on_only_the_picked_change_hands_and_stay_there(
    wishes: list[Wish], picked: set[str], person: str
) -> None:
    after = given(wishes, picked, person)

    assert [wish.task for wish in after] == [wish.task for wish in wishes]
    for old, new in zip(wishes, after, strict=True):
        if old.task in picked:
            assert (new.person, new.is_fixed) == (person, bool(person))
        else:
            assert new == old


@draw(wishes=_WISHES, picked=_PICKED, is_earlier=st.booleans())
def test_nudged_each_person_keeps_the_same_tasks(
    *, wishes: list[Wish], picked: set[str], is_earlier: bool
) -> None:
    after = nudged(wishes, picked, is_earlier=is_earlier)

    for person in ("a", "b", ""):
        assert sorted(_of(after, person)) == sorted(_of(wishes, person))
        others = [task for task in _of(wishes, person) if task not in picked]
        assert [task for task in _of(after, person) if task not in picked] == others


def test_one_step_earlier_and_back_again_is_where_it_was() -> None:
    wishes = [Wish(task=each, person="a") for each in "1234"]

    earlier = nudged(wishes, {"3"}, is_earlier=True)

    assert _of(earlier, "a") == ["1", "3", "2", "4"]
    assert nudged(earlier, {"3"}, is_earlier=False) == wishes


def test_the_first_goes_no_earlier_and_two_picked_move_together() -> None:
    wishes = [Wish(task=each, person="a") for each in "1234"]

    assert nudged(wishes, {"1"}, is_earlier=True) == wishes
    assert _of(nudged(wishes, {"2", "3"}, is_earlier=True), "a") == ["2", "3", "1", "4"]
    assert _of(nudged(wishes, {"2", "3"}, is_earlier=False), "a") == ["1", "4", "2", "3"]


def test_what_nobody_has_cannot_be_kept_with_anybody() -> None:
    wishes = [Wish(task="1", person="a"), Wish(task="2", person="")]

    assert [wish.is_fixed for wish in kept(wishes, {"1", "2"}, is_fixed=True)] == [True, False]


@draw(st.lists(st.tuples(st.integers(1, 3), st.integers(0, 4)), min_size=1, max_size=5))
def test_a_piece_is_placed_as_well_as_at_any_other_place(areas: list[tuple[int, int]]) -> None:
    hand = Hand(key="a", spans=((0, 60),))
    one, *rest = (
        Piece(key=str(n), minutes=10, opens_min=0, late_min=60, rank=rank, stand=stand)
        for n, (rank, stand) in enumerate(areas)
    )

    found = placed(hand, rest, one)

    def price(order: list[Piece]) -> tuple[int, int]:
        stops = list(follow(hand, order))
        return sum(not stop.fits for stop in stops), sum(stop.leg_min for stop in stops)

    inserts = [
        list(order)
        for order in permutations([one, *rest])
        if [p for p in order if p != one] == rest
    ]
    assert price(found) == min(map(price, inserts))


def test_placed_it_comes_after_what_it_follows() -> None:
    first = Piece(key="1", minutes=10, opens_min=0, late_min=600, rank=9)
    later = Piece(key="2", minutes=10, opens_min=0, late_min=600, rank=1, after="1")

    assert placed(Hand(key="a", spans=((0, 600),)), [first], later) == [first, later]
