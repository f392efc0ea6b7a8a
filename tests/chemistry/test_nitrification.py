"""Equations of nitrification in print, and the one that is used."""

import pytest

from chemistry.feed import ALKALINITY_MEQ_PER_MG_N, OXYGEN_MG_PER_MG_N
from chemistry.nitrification import IN_USE, MODELS, Model


def _named(begins: str) -> Model:
    return next(model for model in MODELS if model.name.startswith(begins))


# Milligrams per mg N: computed from the moles in print; the figures quoted in wastewater texts.
@pytest.mark.parametrize(
    ("begins", "oxygen", "alkalinity", "biomass"),
    [
        ("no growth", 4.569, 7.145, 0.0),
        ("US EPA", 4.18, 7.07, 0.17),
        ("Haug", 3.84, 6.98, 0.37),
        ("Metcalf", 4.26, 7.07, 0.16),
    ],
)
def test_moles_give_the_quoted_milligrams(
    begins: str, oxygen: float, alkalinity: float, biomass: float
) -> None:
    model = _named(begins)

    assert model.oxygen_mg == pytest.approx(oxygen, abs=0.005)
    assert model.alkalinity_mg_caco3 == pytest.approx(alkalinity, abs=0.006)
    assert model.biomass_mg == pytest.approx(biomass, abs=0.005)


def test_the_sum_misprinted_as_4_32() -> None:
    assert _named("Gujer").oxygen_mg == pytest.approx(4.33)


def test_activated_sludge_model_one() -> None:
    # 4.57 - 0.24 = 4.33 (Henze 1987; default yield of a public implementation).
    assert _named("Activated").oxygen_mg == pytest.approx(4.33, abs=0.005)


def test_what_is_used_is_the_cautious_end_and_the_feeds_own() -> None:
    assert IN_USE.oxygen_mg == max(model.oxygen_mg for model in MODELS)
    assert IN_USE.alkalinity_mg_caco3 == max(model.alkalinity_mg_caco3 or 0.0 for model in MODELS)
    assert IN_USE.oxygen_mg == pytest.approx(OXYGEN_MG_PER_MG_N)
    assert IN_USE.alkalinity_mg_caco3 == pytest.approx(50.043 * ALKALINITY_MEQ_PER_MG_N, rel=1e-4)


def test_every_model_says_where_it_was_read() -> None:
    assert all(model.source and model.mark in {"found", "memory"} for model in MODELS)
    assert len({model.name for model in MODELS}) == len(MODELS)
