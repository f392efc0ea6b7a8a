"""What sea water holds, against the printed Reference Composition and ocean-science handbooks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.constants import (
    CALCIUM_G_MOL,
    CARBON_G_MOL,
    HYDROGEN_G_MOL,
    MAGNESIUM_G_MOL,
    OXYGEN_G_MOL,
)
from chemistry.seawater import (
    ALKALINITY_MMOL_KG_AT_35,
    FRACTION_OF_SALT,
    Species,
    chlorinity_g_kg,
    mg_kg_from_mg_l,
    mg_l_from_mg_kg,
    reference_alkalinity_meq_l,
    reference_mg_kg,
    reference_mg_l,
)

BORON_G_MOL = 10.81


def test_the_fractions_leave_only_dissolved_gas_and_hydroxide() -> None:
    # Millero et al. (2008) list two more, CO2 and OH, together 1.6e-5 (from memory, unverified).
    assert sum(FRACTION_OF_SALT.values()) == pytest.approx(1 - 1.6e-5, abs=1e-6)


# Amounts in mmol/kg at S 35: computed from the found mass fractions; Dickson, Sabine &
# Christian (2007), table of sea water, has Ca 10.28 and Mg 52.82 mmol/kg (from memory).
def test_calcium_and_magnesium_of_sea_water() -> None:
    calcium = reference_mg_kg(species=Species.CALCIUM, salinity_g_kg=35.0) / CALCIUM_G_MOL
    magnesium = reference_mg_kg(species=Species.MAGNESIUM, salinity_g_kg=35.0) / MAGNESIUM_G_MOL

    assert (calcium, magnesium) == pytest.approx((10.28, 52.82), abs=0.01)


def test_milligrams_per_kilogram_are_not_milligrams_per_litre() -> None:
    # 412 mg/kg of calcium are 422 mg/L at 25 °C (density 1.02334 kg/L, EOS-80 print).
    per_kg = reference_mg_kg(species=Species.CALCIUM, salinity_g_kg=35.0)
    per_l = reference_mg_l(species=Species.CALCIUM, salinity_g_kg=35.0, temperature_c=25.0)

    assert (per_kg, per_l) == pytest.approx((412, 422), abs=0.5)
    assert per_l / per_kg == pytest.approx(1.02334, abs=1e-5)


def test_the_alkalinity_is_that_of_its_own_fractions() -> None:
    molar = {
        Species.BICARBONATE: (1, HYDROGEN_G_MOL + CARBON_G_MOL + 3 * OXYGEN_G_MOL),
        Species.CARBONATE: (2, CARBON_G_MOL + 3 * OXYGEN_G_MOL),
        Species.BORATE: (1, BORON_G_MOL + 4 * (OXYGEN_G_MOL + HYDROGEN_G_MOL)),
    }
    charges = sum(
        charge * reference_mg_kg(species=species, salinity_g_kg=35.0) / g_mol
        for species, (charge, g_mol) in molar.items()
    )

    # Hydroxide's share, 0.008 mmol/kg, is not listed among the species.
    assert charges + 0.008 == pytest.approx(ALKALINITY_MMOL_KG_AT_35, abs=2e-3)
    assert reference_alkalinity_meq_l(salinity_g_kg=35.0, temperature_c=25.0) == pytest.approx(
        2.358, abs=1e-3
    )


def test_chlorinity_of_sea_water() -> None:
    # Definition of 1902 kept by PSS-78: S = 1.80655 Cl; 19.374 at 35.
    assert chlorinity_g_kg(salinity_g_kg=35.0) == pytest.approx(19.374, abs=1e-3)


@given(
    mg_kg=st.floats(min_value=0, max_value=1e5),
    salinity_g_kg=st.floats(min_value=0, max_value=42),
    temperature_c=st.floats(min_value=-2, max_value=40),
)
def test_by_weight_and_by_volume_and_back(
    mg_kg: float, salinity_g_kg: float, temperature_c: float
) -> None:
    mg_l = mg_l_from_mg_kg(mg_kg=mg_kg, salinity_g_kg=salinity_g_kg, temperature_c=temperature_c)

    assert mg_kg_from_mg_l(
        mg_l=mg_l, salinity_g_kg=salinity_g_kg, temperature_c=temperature_c
    ) == pytest.approx(mg_kg)


def test_half_sea_water_holds_half() -> None:
    both = reference_mg_kg(species=Species.MAGNESIUM, salinity_g_kg=np.array([17.5, 35.0]))

    assert both[0] == pytest.approx(both[1] / 2)
