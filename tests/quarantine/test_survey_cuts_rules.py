"""Cut-points of tests that also give positives where there is nothing.

"found": read in the documentation of epiR; "computed": calculated with scipy outside this product.
"""

import pytest

from quarantine.rules.survey import Design, best_cut, needed, worth_of


@pytest.mark.parametrize(
    ("fails_at", "found", "passes"), [(1, 0.975729, 0.545484), (2, 0.870566, 0.879454)]
)
def test_cut_points_of_a_test_that_errs_both_ways(
    fails_at: int, found: float, passes: float
) -> None:
    """Computed: T7."""
    design = Design(population=150, prevalence=0.1, sensitivity=0.9, specificity=0.98)

    worth = worth_of(design, size=30, fails_at=fails_at)

    assert worth.found == pytest.approx(found, abs=5e-7)
    assert worth.passes == pytest.approx(passes, abs=5e-7)


@pytest.mark.parametrize(("share", "size", "fails_at"), [(0.05, 221, 9), (0.10, 82, 5)])
def test_size_and_cut_point_together(share: float, size: int, fails_at: int) -> None:
    """T8. Sizes found: epiR, whose help text counts the cut-point one too low; computed."""
    design = Design(population=5_000, prevalence=share, sensitivity=0.9, specificity=0.98)

    worth = needed(design)

    assert worth is not None
    assert (worth.size, worth.fails_at) == (size, fails_at)
    assert best_cut(design, size=size).fails_at == fails_at


def test_the_cut_point_of_221_is_worth_what_was_computed() -> None:
    design = Design(population=5_000, prevalence=0.05, sensitivity=0.9, specificity=0.98)

    at_9, at_8 = (worth_of(design, size=221, fails_at=cut) for cut in (9, 8))

    assert at_9.found == pytest.approx(0.95009, abs=5e-6)
    assert at_9.passes == pytest.approx(0.96490, abs=5e-6)
    assert at_8.passes == pytest.approx(0.9219, abs=5e-5)


@pytest.mark.parametrize(
    ("herd", "size", "fails_at", "passes"), [(0.9, 49, 2, 0.914), (0.95, 60, 3, 0.978)]
)
def test_a_lot_of_65(herd: float, size: int, fails_at: int, passes: float) -> None:
    """Computed: N=65, Se .95, Sp .99, 5 % (four animals)."""
    design = Design(
        population=65, prevalence=0.05, sensitivity=0.95, specificity=0.99, herd_specificity=herd
    )

    worth = needed(design)

    assert worth is not None
    assert (worth.size, worth.fails_at) == (size, fails_at)
    assert worth.passes == pytest.approx(passes, abs=1e-3)


@pytest.mark.parametrize(("size", "wrong"), [(30, 0.26), (60, 0.45)])
def test_a_lot_without_it_still_shows_positives(size: int, wrong: float) -> None:
    """Computed: 1 - 0.99 to the power of n."""
    design = Design(population=None, prevalence=0.1, specificity=0.99)

    assert 1 - worth_of(design, size=size).passes == pytest.approx(wrong, abs=5e-3)
