"""2 mg/L-N in 400 L at 45 % protein is 19.3 g of feed a day.

By feed × protein × 0.092, Timmons & Ebeling 2013 as trade handbooks quote it.
"""

import pytest

from tanks.rules.loads import Load, load_of
from tests.tanks.weighed import terms_of


def loaded(feed_g_per_day: float, *, protein_share: float = 0.45) -> Load:
    return load_of(
        feed_g_per_day=feed_g_per_day,
        protein_share=protein_share,
        volume_l=400.0,
        terms=terms_of(challenge_mg_l_n=1.0, tan_cap_mg_l_n=5.0),
    )


def test_a_day_of_feed_is_told_as_its_ammonia() -> None:
    found = loaded(19.32)

    assert found.is_provable
    assert found.working.endswith("= 2.00 mg/L-N a day")
    assert found.sentence == "The challenge will be 2 mg/L-N, cleared within a day."


def test_a_small_feed_is_challenged_with_the_least_of_the_policy() -> None:
    found = loaded(5.0)

    assert "= 0.52 mg/L-N a day" in found.working
    assert found.sentence.startswith("The challenge will be 1 mg/L-N (the least")


def test_a_feed_over_the_cap_is_told_what_can_be_proven() -> None:
    """5 mg/L-N × 400 L / (1000 × 0.45 × 0.092) = 48.3 g."""
    found = loaded(60.0)

    assert not found.is_provable
    assert "at most 48.3 g/day" in found.sentence


@pytest.mark.parametrize("protein_share", [0.0, 1.4])
def test_an_impossible_protein_gets_a_sentence(protein_share: float) -> None:
    found = loaded(10.0, protein_share=protein_share)

    assert not found.is_provable
    assert found.working == ""
    assert "protein" in found.sentence
