"""Deaths against exact limits. T16 to T18; computed with scipy outside this product or found."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quarantine.rules.mortality import (
    Threshold,
    at_least,
    at_least_of_days,
    excess,
    excess_of_days,
    interval,
    passes,
)

# Found: a report on monitoring cites the producers' code of practice, marine salmon, Scotland.
SALMON = (
    Threshold(days=7, share=0.01, lightest_g=750),
    Threshold(days=35, share=0.04, lightest_g=750),
    Threshold(days=7, share=0.015, heaviest_g=750),
    Threshold(days=35, share=0.06, heaviest_g=750),
)


@pytest.mark.parametrize(
    ("deaths", "animals", "share", "probability"),
    [
        (2, 200, 0.002, 0.0613906),
        (3, 200, 0.002, 0.0078405),
        (4, 200, 0.002, 0.00076),
        (3, 60, 0.01, 0.022),
        (4, 60, 0.01, 0.0031),
        (3, 200, 0.01, 0.32),
    ],
)
def test_how_often_the_baseline_brings_as_many(
    deaths: int, animals: int, share: float, probability: float
) -> None:
    found = at_least(deaths, animals=animals, share=share)

    assert found == pytest.approx(probability, rel=2e-2)
    assert (deaths, animals) != (3, 200) or share != 0.002 or f"{found:.7f}" == "0.0078405"


def test_three_of_200_are_over_one_percent_and_yet_no_proof() -> None:
    """Computed: Clopper-Pearson .003104 to .043208."""
    found = interval(deaths=3, of=200)

    assert found.share == pytest.approx(0.015)
    assert found.low == pytest.approx(0.003104, abs=5e-7)
    assert found.high == pytest.approx(0.043208, abs=5e-7)


def test_nobody_dead_has_a_lower_end_of_nothing_and_all_dead_an_upper_of_all() -> None:
    """The other end is 1 - 0.025 to the power of 1/n, by hand."""
    none, everyone = interval(deaths=0, of=20), interval(deaths=20, of=20)

    assert (none.low, everyone.high) == (0.0, 1.0)
    assert none.high == pytest.approx(1 - 0.025 ** (1 / 20))
    assert everyone.low == pytest.approx(0.025 ** (1 / 20))


def test_the_alarm_sounds_at_the_first_count_that_is_rare() -> None:
    two, three = (
        excess(deaths=deaths, animals=200, days=1, baseline=0.002, rare=0.01) for deaths in (2, 3)
    )

    assert (two.alarm_at, two.is_rare) == (3, False)
    assert three.is_rare
    assert three.expected == pytest.approx(0.4)
    assert three.probability == pytest.approx(0.0078405, abs=5e-8)


def test_a_week_of_animal_days_by_poisson() -> None:
    """By hand: P(X ≥ 3) with a mean of 1.4 is 1 - e^-1.4 (1 + 1.4 + 0.98)."""
    found = excess_of_days(deaths=3, animal_days=700, baseline=0.002, rare=0.01)

    assert found.probability == pytest.approx(1 - 0.24659696 * 3.38, abs=1e-6)
    assert not found.is_rare
    assert at_least_of_days(0, animal_days=700, a_day=0.002) == 1.0


@pytest.mark.parametrize(
    ("weight_g", "days", "share", "called"),
    [
        (600, 7, 0.014, []),
        (600, 7, 0.016, [0.015]),
        (900, 7, 0.011, [0.01]),
        (900, 35, 5 * 0.0085, [0.04]),
        (900, 35, 0.04, []),
        (750, 7, 0.011, [0.01]),
    ],
)
def test_the_published_salmon_rule(
    weight_g: float, days: int, share: float, called: list[float]
) -> None:
    """T18."""
    rules = [each for each in SALMON if each.days == days and each.is_for(weight_g)]

    deaths = round(share * 10_000)
    assert [one.share for one in rules if passes(one, deaths=deaths, of=10_000)] == called


def test_no_animals_pass_no_threshold() -> None:
    assert not passes(SALMON[0], deaths=0, of=0)


@given(
    animals=st.integers(1, 500),
    baseline=st.floats(0.0001, 0.05),
    days=st.floats(0.5, 7),
    rare=st.floats(0.001, 0.05),
)
def test_the_alarm_count_is_rare_and_one_fewer_is_not(
    animals: int, baseline: float, days: float, rare: float
) -> None:
    found = excess(deaths=0, animals=animals, days=days, baseline=baseline, rare=rare)
    share = 1 - (1 - baseline) ** days

    assert at_least(found.alarm_at, animals=animals, share=share) <= rare
    assert at_least(found.alarm_at - 1, animals=animals, share=share) > rare


@given(of=st.integers(1, 400), share=st.floats(0, 1))
def test_the_interval_holds_the_share_it_came_from(of: int, share: float) -> None:
    deaths = round(share * of)
    found = interval(deaths=deaths, of=of)

    assert 0 <= found.low <= found.share <= found.high <= 1
