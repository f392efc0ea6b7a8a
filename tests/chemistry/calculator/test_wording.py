"""Figures and labels as people read them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.calculator.wording import listed, mid_sentence, quoted, rounded


@pytest.mark.parametrize(
    ("value", "figures", "shown"),
    [
        (0.0, 3, "0"),
        (0.053661, 2, "0.054"),
        (0.053661, 3, "0.0537"),
        (0.0996, 2, "0.10"),
        (0.0999, 3, "0.0999"),
        (9.996, 3, "10.0"),
        (99.96, 3, "100"),
        (378.541, 3, "379"),
        (12345.6, 3, "12346"),  # whole digits are kept
        (-0.2421, 3, "-0.242"),
        (1.5e-8, 2, "1.5e-08"),
        (3.0e12, 2, "3e+12"),
    ],
)
def test_figures_are_rounded_for_the_eye(value: float, figures: int, shown: str) -> None:
    assert rounded(value, figures) == shown


@given(value=st.floats(1e-6, 1e8), figures=st.integers(1, 6))
def test_rounding_moves_a_value_by_half_its_last_figure_at_most(value: float, figures: int) -> None:
    assert float(rounded(value, figures)) == pytest.approx(value, rel=0.51 * 10 ** (1 - figures))


@pytest.mark.parametrize(
    ("label", "inside"),
    [
        ("Un-ionised ammonia", "un-ionised ammonia"),
        ("pH now", "pH now"),
        ("NH3 now", "NH3 now"),
        ("Dissolved CO2", "dissolved CO2"),
        ("A drop", "a drop"),
        ("", ""),
    ],
)
def test_symbols_keep_their_capitals_inside_a_sentence(label: str, inside: str) -> None:
    assert mid_sentence(label) == inside


def test_lists_and_quotes_read_as_one_line() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b or c"
    assert quoted("two\nlines") == "“two lines”"
    assert quoted("x" * 50) == f"“{'x' * 40}…”"
