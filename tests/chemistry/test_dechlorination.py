"""Chlorine taken up, ammonia left, and whether a test would have shown any."""

import numpy as np
import pytest

from chemistry.dechlorination import (
    MG_PER_MG_CL2,
    Neutraliser,
    Reaction,
    neutraliser_g,
    tan_fed_mg_l_n,
    tan_freed_mg_l_n,
    thiosulfate_mg_per_mg_cl2,
    thiosulfate_pentahydrate_g,
)
from chemistry.domain import OutOfRange
from chemistry.residual_chlorine import residual_chlorine


# Computed from molar masses; 7.00 also in a laboratory's support note (found).
@pytest.mark.parametrize(
    ("reaction", "anhydrous", "crystals"),
    [
        (Reaction.TETRATHIONATE, 4.460, 7.001),
        (Reaction.SULFUR, 2.230, 3.500),
        (Reaction.SULFATE, 0.557, 0.875),
    ],
)
def test_what_texts_print_by_reaction_and_hydrate(
    reaction: Reaction, anhydrous: float, crystals: float
) -> None:
    assert thiosulfate_mg_per_mg_cl2(reaction=reaction, pentahydrate=False) == pytest.approx(
        anhydrous, abs=6e-4
    )
    assert thiosulfate_mg_per_mg_cl2(reaction=reaction, pentahydrate=True) == pytest.approx(
        crystals, abs=6e-4
    )


# A field guide to disinfecting pipelines, its table 7-2 (found): rounded up for practice from
# the theory asked here, but for thiosulfate, where it trusts the low reactions.
@pytest.mark.parametrize(
    ("neutraliser", "theory", "field"),
    [
        (Neutraliser.BISULFITE, 1.468, 1.61),
        (Neutraliser.METABISULFITE, 1.341, 1.47),
        (Neutraliser.SULFITE, 1.778, 1.96),
        (Neutraliser.ASCORBIC_ACID, 2.484, 2.5),
        (Neutraliser.SODIUM_ASCORBATE, 2.794, 2.8),
    ],
)
def test_other_neutralisers(neutraliser: Neutraliser, theory: float, field: float) -> None:
    assert MG_PER_MG_CL2[neutraliser] == pytest.approx(theory, rel=5e-4)
    assert theory <= field < 1.12 * theory


def test_the_cautious_reaction_is_the_one_used() -> None:
    used = MG_PER_MG_CL2[Neutraliser.THIOSULFATE_PENTAHYDRATE]

    assert used == pytest.approx(7.0, rel=1e-3)
    assert used == max(thiosulfate_mg_per_mg_cl2(reaction=r, pentahydrate=True) for r in Reaction)


def test_two_hundred_litres_at_three_milligrams() -> None:
    # The trade's worked case: 4.2 g of thiosulfate crystals.
    assert thiosulfate_pentahydrate_g(total_chlorine_mg_l_cl2=3.0, volume_l=200.0) == pytest.approx(
        4.2, abs=0.01
    )


def test_the_sample_bottle_rule_is_below_ours() -> None:
    # Standard Methods (secondary): 0.1 mL of 10 % in 120 mL for up to 15 mg/L, 5.6 mg per mg.
    rule = 0.1 * 100 / (15 * 0.120)

    assert 3.5 < rule < MG_PER_MG_CL2[Neutraliser.THIOSULFATE_PENTAHYDRATE]


def test_chloramine_leaves_ammonia() -> None:
    # 14.007/70.90 = 0.19756 mg N per mg Cl2; the trade: 3 mg/L gives 0.59 mg/L.
    assert tan_freed_mg_l_n(chloramine_mg_l_cl2=np.array([1.0, 3.0])) == pytest.approx(
        [0.19756, 0.5927], abs=1e-4
    )


def test_chloramine_counted_as_itself_is_another_number() -> None:
    # A reading "as NH2Cl" would free 14.007/51.48 per mg: 1.38 times as much.
    as_nh2cl = 14.007 / 51.473

    assert as_nh2cl / tan_freed_mg_l_n(chloramine_mg_l_cl2=1.0) == pytest.approx(1.377, abs=2e-3)


def test_what_a_utility_fed_is_more_than_what_chloramine_holds() -> None:
    # 3:1 to 5:1 Cl2 to N at 4 mg/L is 1.33 to 0.80 mg/L of nitrogen, computed.
    fed = [tan_fed_mg_l_n(total_chlorine_mg_l_cl2=4.0, feed_ratio=r) for r in (3.0, 5.0)]

    assert fed == pytest.approx([1.333, 0.80], abs=1e-3)
    assert min(fed) > tan_freed_mg_l_n(chloramine_mg_l_cl2=4.0)


def test_a_ratio_beyond_break_point_is_refused() -> None:
    with pytest.raises(OutOfRange, match="ratio"):
        tan_fed_mg_l_n(total_chlorine_mg_l_cl2=4.0, feed_ratio=8.0)


def test_tap_water_at_its_own_limit_is_hundreds_of_times_the_fishes() -> None:
    # 4 mg/L over 19 and 11 µg/L (EPA 1985, WAC 173-201A-240): 210 and 364 times, computed.
    tap = residual_chlorine(
        total_chlorine_mg_l_cl2=4, smallest_shown_mg_l_cl2=0.02, is_salt_water=False
    )

    assert (tap.times_acute, tap.times_chronic) == pytest.approx((210.5, 363.6), abs=0.1)


def test_the_salt_water_limits_are_the_lower() -> None:
    sea = residual_chlorine(
        total_chlorine_mg_l_cl2=0.01, smallest_shown_mg_l_cl2=0.001, is_salt_water=True
    )

    assert (sea.acute_mg_l_cl2, sea.chronic_mg_l_cl2) == (0.013, 0.0075)
    assert sea.times_acute < 1 < sea.times_chronic


def test_nought_on_a_strip_is_no_evidence() -> None:
    strip = residual_chlorine(
        total_chlorine_mg_l_cl2=0, smallest_shown_mg_l_cl2=0.5, is_salt_water=False
    )
    photometer = residual_chlorine(
        total_chlorine_mg_l_cl2=0, smallest_shown_mg_l_cl2=0.01, is_salt_water=False
    )

    assert not strip.shows_acute
    assert not strip.is_evidence_of_none
    assert photometer.is_evidence_of_none


def test_grams_grow_with_chlorine_and_shrink_with_purity() -> None:
    pure = neutraliser_g(
        neutraliser=Neutraliser.ASCORBIC_ACID, total_chlorine_mg_l_cl2=2.0, volume_l=100.0
    )
    half = neutraliser_g(
        neutraliser=Neutraliser.ASCORBIC_ACID,
        total_chlorine_mg_l_cl2=2.0,
        volume_l=100.0,
        purity=0.5,
    )

    assert half == pytest.approx(2 * pure)
