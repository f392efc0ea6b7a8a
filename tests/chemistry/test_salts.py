"""Salts against formulae weighed by hand and handbook solubilities."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.salts import FACTS, Counted, DifferentSubstance, Salt, same_dose_g, stock_limit_g_l

# Molar masses computed with periodictable 2.1.0, an independent table of atomic weights.
PERIODICTABLE = {
    Salt.AMMONIUM_CHLORIDE: 53.489,
    Salt.SODIUM_NITRITE: 68.9948,
    Salt.SODIUM_NITRATE: 84.9938,
    Salt.SODIUM_BICARBONATE: 84.0058,
    Salt.SODIUM_CARBONATE: 105.9875,
    Salt.SODIUM_CARBONATE_DECAHYDRATE: 105.9875 + 10 * 18.015,
    Salt.CALCIUM_CHLORIDE: 110.978,
    Salt.CALCIUM_CHLORIDE_DIHYDRATE: 147.008,
    Salt.MAGNESIUM_CHLORIDE_HEXAHYDRATE: 203.295,
    Salt.MAGNESIUM_SULFATE: 246.466 - 7 * 18.015,
    Salt.MAGNESIUM_SULFATE_HEPTAHYDRATE: 246.466,
    Salt.SODIUM_CHLORIDE: 58.4398,
    Salt.POTASSIUM_DIHYDROGEN_PHOSPHATE: 136.0841,
    Salt.SODIUM_THIOSULFATE: 158.0965,
    Salt.SODIUM_THIOSULFATE_PENTAHYDRATE: 158.0965 + 5 * 18.015,
    Salt.COPPER_SULFATE: 249.677 - 5 * 18.015,
    Salt.COPPER_SULFATE_PENTAHYDRATE: 249.677,
}


@pytest.mark.parametrize("salt", Salt)
def test_a_mole_weighs_what_other_tables_say(salt: Salt) -> None:
    assert FACTS[salt].g_mol == pytest.approx(PERIODICTABLE[salt], rel=1e-4)


# Shares by hand from IUPAC weights; the copper ones also in trade handbooks (25.45 % of the
# pentahydrate, 39.8 % of the anhydrous salt).
@pytest.mark.parametrize(
    ("salt", "share"),
    [
        (Salt.AMMONIUM_CHLORIDE, 0.261867),
        (Salt.COPPER_SULFATE_PENTAHYDRATE, 0.25451),
        (Salt.COPPER_SULFATE, 0.398),
        (Salt.CALCIUM_CHLORIDE_DIHYDRATE, 40.078 / 147.008),
        (Salt.MAGNESIUM_CHLORIDE_HEXAHYDRATE, 24.305 / 203.295),
        (Salt.SODIUM_NITRITE, 14.007 / 68.995),
        (Salt.SODIUM_BICARBONATE, 50.043 / 84.006),
    ],
)
def test_a_gram_counts_as_its_formula_says(salt: Salt, share: float) -> None:
    assert FACTS[salt].share == pytest.approx(share, rel=5e-4)


def test_crystals_and_dry_salt_differ_by_their_water() -> None:
    # Published contradictions turn on this 1.57: 2.23 and 3.50 mg for the same reaction.
    crystals = same_dose_g(
        grams=10.0, of=Salt.SODIUM_THIOSULFATE_PENTAHYDRATE, instead_of=Salt.SODIUM_THIOSULFATE
    )

    assert crystals == pytest.approx(15.70, abs=0.01)


def test_bicarbonate_for_carbonate() -> None:
    # Mass ratio for equal alkalinity 1.5852, computed from molar masses.
    assert same_dose_g(
        grams=1.0, of=Salt.SODIUM_BICARBONATE, instead_of=Salt.SODIUM_CARBONATE
    ) == pytest.approx(1.5852, rel=1e-4)


def test_what_counts_as_something_else_is_refused() -> None:
    with pytest.raises(DifferentSubstance, match="cannot stand in"):
        same_dose_g(grams=1.0, of=Salt.CALCIUM_CHLORIDE, instead_of=Salt.SODIUM_BICARBONATE)


FORMS = [
    (one, other) for one in Salt for other in Salt if FACTS[one].counted is FACTS[other].counted
]


@given(grams=st.floats(min_value=0, max_value=1e6), forms=st.sampled_from(FORMS))
def test_one_form_and_back(grams: float, forms: tuple[Salt, Salt]) -> None:
    one, other = forms
    there = same_dose_g(grams=grams, of=one, instead_of=other)

    assert same_dose_g(grams=there, of=other, instead_of=one) == pytest.approx(grams)


def test_the_ammonium_chloride_stock_is_the_one_in_use() -> None:
    # 250 g/L at any room temperature; sources give 294 g in a litre of water at 0 °C and 383 or
    # 392 g/L at 25 °C, and one misprints the -15 °C value (244) as 15 °C.
    assert stock_limit_g_l(Salt.AMMONIUM_CHLORIDE) == pytest.approx(250, rel=0.01)


def test_bicarbonate_hardly_dissolves() -> None:
    # Handbook: 8.15 g in 100 g of water at 10 °C.
    assert stock_limit_g_l(Salt.SODIUM_BICARBONATE) == pytest.approx(1000 * 8.15 / 108.15, rel=0.01)


@pytest.mark.parametrize("salt", Salt)
def test_no_salt_dissolves_better_cold_than_its_table_or_weighs_more_than_its_solution(
    salt: Salt,
) -> None:
    facts = FACTS[salt]

    assert 0 < facts.dissolves_at_0_c <= facts.dissolves_at_20_c
    assert 0 < facts.share <= 1
    assert isinstance(facts.counted, Counted)
    assert facts.formula.endswith("H2O") == (facts.waters > 0)
