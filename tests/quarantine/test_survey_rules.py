"""Sample sizes against published tables, published programs' outputs and exact arithmetic.

"found": read in the documentation of epiR or RSurveillance; "computed": calculated with scipy
outside this product; the printed fish-health table is from memory, unverified.
"""

from itertools import pairwise
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.survey import (
    Design,
    belief_after,
    by_hand,
    cannon_roe,
    chain,
    needed,
    worth_of,
)

SHARES = (0.02, 0.05, 0.10, 0.20, 0.50)
# Computed: 95 %, perfect test, d = N·p rounded up; None is a lot too large to count.
EXACT: dict[int | None, tuple[int, ...]] = {
    10: (10, 10, 10, 8, 4),
    20: (19, 19, 16, 10, 4),
    30: (29, 23, 19, 11, 4),
    40: (38, 31, 21, 12, 5),
    50: (48, 31, 22, 12, 5),
    60: (47, 38, 23, 12, 5),
    80: (62, 42, 24, 13, 5),
    100: (78, 45, 25, 13, 5),
    150: (95, 46, 26, 13, 5),
    200: (105, 51, 27, 13, 5),
    250: (112, 51, 27, 14, 5),
    500: (129, 56, 28, 14, 5),
    1_000: (138, 57, 29, 14, 5),
    2_000: (143, 58, 29, 14, 5),
    10_000: (148, 59, 29, 14, 5),
    None: (149, 59, 29, 14, 5),
}
# Computed: animals, affected, then sizes at sensitivity 1, .9, .8, .7, .5; None is impossible.
IMPERFECT = (
    (10, 0.1, (10, None, None, None, None)),
    (10, 0.2, (8, 9, 10, None, None)),
    (20, 0.1, (16, 17, 20, None, None)),
    (30, 0.1, (19, 21, 24, 27, None)),
    (40, 0.1, (21, 23, 26, 30, None)),
    (60, 0.1, (23, 26, 29, 33, 47)),
    (100, 0.1, (25, 28, 32, 36, 52)),
    (200, 0.1, (27, 30, 34, 39, 55)),
    (500, 0.1, (28, 31, 35, 41, 57)),
)
# Printed sizes from memory, unverified; the confidence they really give: computed.
PRINTED = (
    (50, 0.10, 20, 0.933),
    (100, 0.02, 75, 0.939),
    (100, 0.10, 23, 0.937),
    (250, 0.02, 110, 0.947),
    (500, 0.10, 26, 0.940),
    (1_000, 0.02, 140, 0.953),
    (1_000, 0.10, 27, 0.944),
    (1_500, 0.05, 55, 0.944),
    (10_000, 0.05, 60, 0.954),
)


def _size(design: Design) -> int | None:
    worth = needed(design)
    return worth.size if worth else None


@pytest.mark.parametrize("population", EXACT)
def test_the_exact_table_for_a_perfect_test(population: int | None) -> None:
    designs = [Design(population=population, prevalence=share) for share in SHARES]

    assert tuple(_size(design) for design in designs) == EXACT[population]


@pytest.mark.parametrize(
    ("share", "at_95", "at_99"),
    [(0.02, 149, 228), (0.05, 59, 90), (0.1, 29, 44), (0.2, 14, 21), (0.5, 5, 7)],
)
def test_endless_lots_at_two_confidences(share: float, at_95: int, at_99: int) -> None:
    """Computed: T2."""
    assert _size(Design(population=None, prevalence=share)) == at_95
    assert _size(Design(population=None, prevalence=share, confidence=0.99)) == at_99


@pytest.mark.parametrize(("population", "share", "sizes"), IMPERFECT)
def test_a_test_that_misses_some(
    population: int, share: float, sizes: tuple[int | None, ...]
) -> None:
    """Computed. "impossible" is an answer, and in small tanks the usual one."""
    found = tuple(
        _size(Design(population=population, prevalence=share, sensitivity=sensitivity))
        for sensitivity in (1.0, 0.9, 0.8, 0.7, 0.5)
    )

    assert found == sizes


@pytest.mark.parametrize(("affected", "found"), [(1, 0.80), (2, 0.96), (3, 0.992)])
def test_all_animals_tested_still_miss_some(affected: int, found: float) -> None:
    """Computed: 1 - 0.2 to the power of d."""
    design = Design(population=10, prevalence=affected / 10, sensitivity=0.8)

    assert worth_of(design, size=10).found == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize(("population", "share", "size", "confidence"), PRINTED)
def test_printed_sizes_are_shown_with_what_they_are_worth(
    population: int, share: float, size: int, confidence: float
) -> None:
    design = Design(population=population, prevalence=share)

    assert worth_of(design, size=size).found == pytest.approx(confidence, abs=5.1e-4)


@pytest.mark.parametrize(
    ("population", "affected", "size", "found"),
    [
        # Computed: T3 and T6.
        (1_000, 100, 27, 0.9441),
        (100, 10, 23, 0.9366),
        (40, 1, 10, 0.2500),
        (40, 2, 10, 0.4423),
        (40, 4, 10, 0.7001),
    ],
)
def test_confidence_at_a_chosen_size(
    population: int, affected: int, size: int, found: float
) -> None:
    design = Design(population=population, prevalence=affected / population)

    assert design.affected == affected
    assert worth_of(design, size=size).found == pytest.approx(found, abs=5e-5)


def test_a_whole_number_of_affected_animals_is_rounded_up_and_no_further() -> None:
    """0.07·100 is 7.000000000000001 to a computer: still seven animals."""
    assert Design(population=100, prevalence=0.07).affected == 7
    assert Design(population=50, prevalence=0.02).affected == 1
    assert Design(population=60, prevalence=0.02).affected == 2
    assert Design(population=10, prevalence=0.02).affected == 1


@pytest.mark.parametrize(
    ("population", "affected", "value"), [(100, 10, 24.72), (500, 25, 55.11), (40, 20, 4.24)]
)
def test_the_rule_by_hand_is_cannon_and_roe(population: int, affected: int, value: float) -> None:
    """Computed: T4."""
    found = cannon_roe(population=population, affected=affected, confidence=0.95)

    assert found == pytest.approx(value, abs=5e-3)


def test_by_hand_is_never_below_exact_on_the_table() -> None:
    for population in (n for n in EXACT if n is not None):
        for share, exact in zip(SHARES, EXACT[population], strict=True):
            affected = Design(population=population, prevalence=share).affected or 0
            hand = cannon_roe(population=population, affected=affected, confidence=0.95)
            assert ceil(hand) >= exact


@pytest.mark.parametrize(
    ("population", "share", "sensitivity", "printed", "exact"),
    [
        # Found: epiR and RSurveillance print these; exact beside them computed.
        (None, 0.05, 0.9, 66, 66),
        (500, 0.05, 0.9, 63, 62),
        (20_000, 0.005, 0.9, 656, 655),
        (200, 0.01, 0.8, 195, 195),
        (500, 0.01, 0.8, 282, 281),
        (1_000, 0.01, 0.8, 324, 323),
        (10_000, 0.01, 0.8, 369, 368),
    ],
)
def test_published_programs_agree(
    population: int | None, share: float, sensitivity: float, printed: int, exact: int
) -> None:
    design = Design(population=population, prevalence=share, sensitivity=sensitivity)
    hand = by_hand(design)

    assert hand is not None
    assert ceil(hand) == printed
    assert _size(design) == exact


def test_the_finite_rule_by_hand_can_exceed_the_endless_one() -> None:
    """Found: RSurveillance prints 333 for 100 000 animals and 332 for endless ones."""
    large = by_hand(Design(population=100_000, prevalence=0.01, sensitivity=0.9))
    endless = by_hand(Design(population=None, prevalence=0.01, sensitivity=0.9))

    assert (ceil(large or 0), ceil(endless or 0)) == (333, 332)


@pytest.mark.parametrize(
    ("share", "size"), [(0.01, 328), (0.02, 164), (0.05, 65), (0.1, 32), (0.2, 15)]
)
def test_sizes_for_a_test_of_91_percent(share: float, size: int) -> None:
    """Found: epiR."""
    assert _size(Design(population=None, prevalence=share, sensitivity=0.91)) == size


def test_sensitivity_of_a_whole_sample() -> None:
    """Found (0.943) and computed: T9."""
    design = Design(population=None, prevalence=0.01, sensitivity=0.95)

    assert worth_of(design, size=300).found == pytest.approx(0.942938, abs=5e-7)


def test_a_comment_that_printed_62_is_not_followed() -> None:
    """The comment of an example in epiR says 62; exact gives 64, and 62 is worth 0.9470."""
    design = Design(population=1_000, prevalence=0.05, sensitivity=0.9)

    assert _size(design) == 64
    assert worth_of(design, size=62).found == pytest.approx(0.9470, abs=5e-5)


def test_belief_grows_with_each_negative_round() -> None:
    """Found: RSurveillance prints the first three and the tenth of ten rounds."""
    found = chain(rounds=10, prior=0.5, introduction=0.01, sensitivity=0.4)

    assert found[:3] == pytest.approx((0.6203008, 0.7261937, 0.8099976), abs=5e-8)
    assert found[9] == pytest.approx(0.9785045, abs=5e-8)
    assert belief_after(prior=0.5, introduction=0.01, sensitivity=0.4) == found[0]


@given(
    population=st.integers(2, 120),
    share=st.floats(0.01, 1.0),
    sensitivity=st.floats(0.3, 1.0),
    specificity=st.floats(0.8, 1.0),
)
def test_more_tests_never_find_less(
    population: int, share: float, sensitivity: float, specificity: float
) -> None:
    design = Design(
        population=population,
        prevalence=share,
        sensitivity=sensitivity,
        specificity=specificity,
    )
    found = [worth_of(design, size=size).found for size in range(1, population + 1)]

    assert all(after >= before - 1e-9 for before, after in pairwise(found))


@given(population=st.integers(2, 200), share=st.floats(0.01, 0.6), sensitivity=st.floats(0.4, 1.0))
def test_the_size_given_is_enough_and_one_fewer_is_not(
    population: int, share: float, sensitivity: float
) -> None:
    design = Design(population=population, prevalence=share, sensitivity=sensitivity)
    worth = needed(design)

    if worth is None:
        assert worth_of(design, size=population).found < design.confidence
        return
    assert worth.found >= design.confidence
    if worth.size > 1:
        assert worth_of(design, size=worth.size - 1).found < design.confidence
