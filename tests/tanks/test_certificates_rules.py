"""What a certificate stands on, what ends it: the events and days are common practice, no source.

The feed follows Timmons & Ebeling 2013: P_TAN = feed x protein x 0.092, where 0.092 = 0.16 N in
protein x 0.80 assimilated x 0.80 excreted x 0.90 as TAN.
"""

from datetime import timedelta
from decimal import Decimal
from itertools import permutations
from typing import Any
from uuid import uuid4

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.certificates import (
    Happening,
    InForce,
    Kind,
    Proven,
    Standing,
    Voided,
    certified_feed,
    hindrances,
    state,
)
from tanks.rules.proof import Judgement, judge
from tests.cast import NOON
from tests.tanks.weighed import DAY, HOUR, below, read, terms_of, trial_of

MEMBERS = frozenset([uuid4(), uuid4()])
PROVEN = Proven(since=NOON, members=MEMBERS, litres=400.0, terms=terms_of())


def happened(kind: Kind, *, after: timedelta = HOUR, **more: Any) -> Happening:
    return Happening(kind=kind, at=NOON + after, **more)


def fed(*, days: float) -> Happening:
    return happened(Kind.FED, after=days * DAY)


def standing(*happenings: Happening, days: float = 2) -> Standing:
    return state(PROVEN, happenings, at=NOON + days * DAY)


def passed(**changes: Any) -> Judgement:
    return judge(trial_of(**changes))


def test_0_092_is_the_product_of_the_handbooks_four_shares() -> None:
    feed = certified_feed([passed(), passed()], volume_l=1000, protein_share=0.5)[1]

    assert float(feed) == pytest.approx(2 / (0.5 * 0.16 * 0.8 * 0.8 * 0.9), rel=0.005)


@pytest.mark.parametrize(
    ("litres", "protein", "feed"),
    [
        (400, 0.45, "19.30"),  # the trade's worked case, 2 mg/L-N: 19.32
        (4000, 0.45, "193.00"),
        (40, 0.45, "1.93"),
        (1000, 0.35, "62.10"),  # 2 x 1000 / (1000 x 0.35 x 0.092) = 62.11
    ],
)
def test_certified_feed_is_rounded_down_to_three_figures(
    litres: float, protein: float, feed: str
) -> None:
    found = certified_feed([passed(), passed()], volume_l=litres, protein_share=protein)[1]

    assert found == Decimal(feed)


def test_the_weaker_pass_counts() -> None:
    weaker = passed(start=read("TAN", 1.9, at=NOON + HOUR))

    load, feed = certified_feed([passed(), weaker], volume_l=400, protein_share=0.45)

    assert (load, feed) == (1.9, Decimal("18.30"))


@given(st.floats(0.5, 5), st.floats(10, 1e5), st.floats(0.1, 0.9))
def test_certified_feed_never_makes_more_ammonia_than_was_cleared(
    load: float, litres: float, protein: float
) -> None:
    judgement = passed(target_mg_l_n=load, start=read("TAN", load, at=NOON + HOUR))

    feed = certified_feed([judgement], volume_l=litres, protein_share=protein)[1]

    assert float(feed) * protein * 0.092 * 1000 <= load * litres * (1 + 1e-9)


def test_in_force_until_unfed_for_the_policys_three_days() -> None:
    held = standing(fed(days=1))

    assert isinstance(held, InForce)
    assert held.lapses_at == NOON + 4 * DAY
    assert isinstance(standing(fed(days=1), days=4), InForce)
    assert standing(fed(days=1), days=4.01) == standing(fed(days=1), fed(days=5), days=9)


@pytest.mark.parametrize(
    "event",
    [
        happened(Kind.DISINFECTANT),
        happened(Kind.MEDIA_DRIED),
        happened(Kind.MEDIA_REPLACED),
        happened(Kind.POWER_LOSS, amount=4.01),
        happened(Kind.POWER_LOSS, amount=None),
        happened(Kind.LOW_PH, ph=read("PH", 6.49)),
        happened(Kind.LOW_PH, ph=below("PH", 6.5)),
        happened(Kind.MEMBERS, members=frozenset([uuid4()])),
        happened(Kind.VOLUME, amount=421.0),
        happened(Kind.VOLUME, amount=379.0),
        happened(Kind.PASS_UNDONE),
        happened(Kind.LEFT_OVER),
    ],
    ids=lambda event: f"{event.kind}",
)
def test_a_voiding_event_voids_and_says_so(event: Happening) -> None:
    ended = standing(event)

    assert isinstance(ended, Voided)
    assert (ended.by, ended.at) == (event.kind, event.at)
    assert ended.sentence.endswith(".")


@pytest.mark.parametrize(
    "event",
    [
        happened(Kind.POWER_LOSS, amount=4.0),
        happened(Kind.LOW_PH, ph=read("PH", 6.5)),
        happened(Kind.LOW_PH, ph=read("PH", 6.2, 6.9)),
        happened(Kind.MEMBERS, members=MEMBERS),
        happened(Kind.VOLUME, amount=420.0),
        happened(Kind.DISINFECTANT, after=-HOUR),
        happened(Kind.DISINFECTANT, after=3 * DAY),
    ],
    ids=lambda event: f"{event.kind}",
)
def test_what_stays_within_the_policy_or_outside_the_time_does_not_void(event: Happening) -> None:
    assert isinstance(standing(event), InForce)


KINDS = st.sampled_from([kind for kind in Kind if kind is not Kind.UNFED])
EVENTS = st.lists(
    st.builds(
        lambda kind, hours, amount: Happening(kind=kind, at=NOON + hours * HOUR, amount=amount),
        KINDS,
        st.integers(-24, 240),
        st.floats(0, 500),
    ),
    max_size=8,
)


@given(EVENTS, EVENTS)
def test_adding_anything_but_feed_never_brings_a_certificate_back(
    events: list[Happening], more: list[Happening]
) -> None:
    voiding = [event for event in more if event.kind is not Kind.FED]

    before = state(PROVEN, events, at=NOON + 5 * DAY)
    after = state(PROVEN, [*events, *voiding], at=NOON + 5 * DAY)

    assert isinstance(before, InForce) or isinstance(after, Voided)


@given(EVENTS, st.integers(1, 240), st.integers(0, 240))
def test_waiting_and_feeding_later_never_bring_a_certificate_back(
    events: list[Happening], hours: int, more: int
) -> None:
    at = NOON + hours * HOUR
    before = state(PROVEN, events, at=at)
    later_feed = [Happening(kind=Kind.FED, at=at + step * HOUR) for step in range(1, more, 12)]

    after = state(PROVEN, [*events, *later_feed], at=at + more * HOUR)

    assert isinstance(before, InForce) or isinstance(after, Voided)


@given(st.permutations([fed(days=1), fed(days=2), fed(days=6), happened(Kind.MEDIA_DRIED)]))
def test_the_order_of_deliveries_changes_nothing(events: list[Happening]) -> None:
    assert standing(*events, days=7) == standing(*sorted(events, key=lambda e: e.at), days=7)


def test_two_deliveries_in_either_order_stand_alike() -> None:
    events = (fed(days=5), happened(Kind.POWER_LOSS, after=2 * DAY, amount=9.0))

    first, second = (standing(*order, days=6) for order in permutations(events))

    assert first == second


def test_hindrances_name_what_is_missing() -> None:
    other = passed(tan=read("TAN", 0.1, at=NOON + 24 * HOUR, method=uuid4()))
    failed = passed(tan=read("TAN", 1.0, at=NOON + 24 * HOUR))
    terms = terms_of()

    def found(chosen: list[Judgement], stretch: list[Judgement] | None = None) -> str:
        return " ".join(hindrances(stretch or chosen, chosen=chosen, terms=terms))

    assert found([passed(), passed()]) == ""
    assert "2 passes in a row" in found([passed()])
    assert "no pass that stands" in found([passed(), failed])
    assert "lies between" in found([passed(), passed()], [passed(), failed, passed()])
    assert "different TAN methods" in found([passed(), other])
