"""Treatment arithmetic: forms and bases kept apart; nothing here judges a dose."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.hydrometry import Scale
from chemistry.published_doses import FIGURES, Agent, figures_of
from chemistry.treatments import (
    ChloroquineForm,
    CopperSalt,
    FormalinBasis,
    NitriteCounted,
    chloroquine_diphosphate_g,
    copper_mg_l,
    copper_product_ml,
    copper_sulfate_g,
    formalin_in,
    formalin_ml,
    formalin_oxygen_mg_l,
    formalin_ul_l,
    gravities,
    powder_g,
    sodium_chloride_mg_l,
    sulfate_mg_l,
)


def test_copper_and_its_crystals_differ_almost_fourfold() -> None:
    # 249.677 g/mol, 25.451 % Cu: 3.929 g per g, computed; the printed fresh-water rule of
    # alkalinity/100 is on the sulfate: 1.0 mg/L is 0.2545 mg/L of copper.
    assert sulfate_mg_l(copper_mg_l=1.0, salt=CopperSalt.CRYSTALS) == pytest.approx(
        3.92908, rel=1e-4
    )
    assert copper_mg_l(sulfate_mg_l=1.0, salt=CopperSalt.CRYSTALS) == pytest.approx(
        0.2545, abs=1e-4
    )
    assert sulfate_mg_l(copper_mg_l=1.0, salt=CopperSalt.ANHYDROUS) == pytest.approx(2.51, abs=0.01)


@pytest.mark.parametrize(("copper", "milligrams"), [(0.15, 58.94), (0.20, 78.58)])
def test_a_hundred_litres(copper: float, milligrams: float) -> None:
    grams = copper_sulfate_g(rise_mg_l_cu=copper, volume_l=100.0, salt=CopperSalt.CRYSTALS)

    assert 1000 * grams == pytest.approx(milligrams, abs=0.01)


def test_a_labelled_product() -> None:
    # By hand: 200 L by 0.15 mg/L is 30 mg, 3 mL of a product of 10 g/L.
    assert copper_product_ml(
        rise_mg_l_cu=0.15, volume_l=200.0, product_copper_g_l=10.0
    ) == pytest.approx(3.0)


def test_formalin_by_weight_and_by_volume_are_eight_per_cent_apart() -> None:
    # 25 mg/L at 1.08 kg/L is 23.1 µL/L, 2.31 mL in 100 L; taken for water 2.5 mL. Computed.
    weighed = formalin_ul_l(amount=25.0, basis=FormalinBasis.MILLIGRAMS)
    as_if_water = formalin_ul_l(amount=25.0, basis=FormalinBasis.AS_IF_WATER)

    assert formalin_ml(formalin_ul_l=weighed, volume_l=100.0) == pytest.approx(2.31, abs=0.005)
    assert formalin_ml(formalin_ul_l=as_if_water, volume_l=100.0) == pytest.approx(2.5)


def test_37_per_cent_is_corrected_for_once() -> None:
    # The trade's mistake: "37 %" corrected twice is x2.7. 25 µL/L hold 9.3 to 10 mg/L HCHO.
    formaldehyde = formalin_in(formalin_ul_l=25.0, basis=FormalinBasis.FORMALDEHYDE)

    assert 9.3 < formaldehyde < 10.0
    assert formalin_ul_l(amount=formaldehyde, basis=FormalinBasis.FORMALDEHYDE) == pytest.approx(25)


def test_the_label_prints_both_ways() -> None:
    # Trout, 96-h LC50 on a product label (found): 100 µL/L is given as 37 mg/L formaldehyde.
    as_printed = formalin_in(
        formalin_ul_l=100.0, basis=FormalinBasis.FORMALDEHYDE, formalin_kg_l=1.0
    )

    assert as_printed == pytest.approx(37)


def test_a_gallon_rule_takes_formalin_for_water() -> None:
    # "1 mL per 10 gallons" is 26.4 µL/L, by hand.
    assert formalin_ml(formalin_ul_l=26.417, volume_l=37.854) == pytest.approx(1.0, abs=1e-3)


def test_formalin_takes_oxygen() -> None:
    # UF/IFAS VM-77: 1 mg/L for 5 mg/L.
    assert formalin_oxygen_mg_l(formalin_mg_l=25.0) == pytest.approx(5)


def test_chloroquine_base_and_salt() -> None:
    # 319.9/515.9: the diphosphate is 62 % base.
    as_salt = chloroquine_diphosphate_g(
        bath_mg_l=10.0, counted_as=ChloroquineForm.DIPHOSPHATE, volume_l=100.0, purity=1.0
    )
    as_base = chloroquine_diphosphate_g(
        bath_mg_l=10.0, counted_as=ChloroquineForm.BASE, volume_l=100.0, purity=1.0
    )

    assert as_salt == pytest.approx(1.0)
    assert as_salt / as_base == pytest.approx(0.62, abs=1e-3)


def test_powder_by_its_purity() -> None:
    assert powder_g(bath_mg_l=2.0, volume_l=500.0, purity=0.5) == pytest.approx(2.0)


def test_salt_against_nitrite_depends_on_what_the_ratio_counts() -> None:
    # The trade's worked case: 1 mg/L as N at 10:1 is 54 mg/L of salt on the ion, 16 on nitrogen.
    on_ion = sodium_chloride_mg_l(
        nitrite_mg_l_n=1.0, ratio=10.0, counted_as=NitriteCounted.ION, chloride_mg_l=0.0
    )
    on_nitrogen = sodium_chloride_mg_l(
        nitrite_mg_l_n=1.0, ratio=10.0, counted_as=NitriteCounted.NITROGEN, chloride_mg_l=0.0
    )

    assert (on_ion, on_nitrogen) == pytest.approx((54, 16.5), abs=0.2)
    assert on_ion / on_nitrogen == pytest.approx(3.284, abs=1e-3)


def test_chloride_that_is_there_already_is_not_added() -> None:
    needed = sodium_chloride_mg_l(
        nitrite_mg_l_n=np.array([1.0, 1.0]),
        ratio=np.array([10.0, 10.0]),
        counted_as=NitriteCounted.ION,
        chloride_mg_l=np.array([20.0, 100.0]),
    )

    # (32.84 - 20) / 0.6066 by hand.
    assert needed == pytest.approx([21.17, 0.0], abs=0.01)


def test_a_low_salinity_is_six_gravities() -> None:
    # Computed: S 16 reads 1.01227 on 60/60 °F and 1.00907 on 25/4 °C.
    read = dict(gravities(salinity_g_kg=16))

    assert read[Scale.SIXTY_SIXTY_F] == pytest.approx(1.01227, abs=1e-5)
    assert read[Scale.TWENTY_FIVE_FOUR] == pytest.approx(1.00907, abs=1e-5)


@given(
    amount=st.floats(min_value=0, max_value=1000),
    basis=st.sampled_from(FormalinBasis),
    density=st.floats(min_value=1.05, max_value=1.1),
)
def test_any_basis_and_back(amount: float, basis: FormalinBasis, density: float) -> None:
    microlitres = formalin_ul_l(amount=amount, basis=basis, formalin_kg_l=density)

    assert formalin_in(
        formalin_ul_l=microlitres, basis=basis, formalin_kg_l=density
    ) == pytest.approx(amount)


def test_a_thousandfold_slip_is_refused() -> None:
    with pytest.raises(OutOfRange, match="copper of 150"):
        copper_sulfate_g(rise_mg_l_cu=150.0, volume_l=100.0, salt=CopperSalt.CRYSTALS)


def test_every_printed_figure_names_its_basis_its_source_and_its_mark() -> None:
    assert all(figure.low <= figure.high for figure in FIGURES)
    assert all(figure.basis and figure.where and figure.source for figure in FIGURES)
    assert {figure.mark for figure in FIGURES} == {"found", "memory"}
    assert all(figures_of(agent) for agent in Agent)


def test_printed_figures_of_low_salinity_contradict_each_other() -> None:
    kills = [f for f in figures_of(Agent.HYPOSALINITY) if f.low == 0]
    hatches = [f for f in figures_of(Agent.HYPOSALINITY) if f.low > 0]

    assert max(f.high for f in kills) > min(f.low for f in hatches)
