"""Salt water's carbonate system against PyCO2SYS, seacarb's test file and published constants."""

import math

import numpy as np
import PyCO2SYS
import pytest

from chemistry.ammonium import clegg_whitfield_pk
from chemistry.carbonate import (
    from_alkalinity_and_carbon,
    from_alkalinity_and_ph,
    from_alkalinity_and_pressure,
)
from chemistry.carbonate_constants import Water
from chemistry.constants import NITROGEN_G_MOL
from chemistry.salinity import density_kg_l
from chemistry.sea_acids import Boron, bisulfate_constant, hydrogen_fluoride_constant
from chemistry.sea_carbonic import (
    aragonite_product,
    boric_constant,
    calcite_product,
    carbon_dioxide_solubility,
    lueker_k1,
    lueker_k2,
    seawater_to_total,
    water_constant,
)

LUEKER, MILLERO_2010 = 10, 14  # PyCO2SYS's numbers for the choice of carbonic acid


def _density(salinity_g_kg: float, temperature_c: float) -> float:
    return float(density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=temperature_c))


def test_constants_at_35_and_25_are_the_published_ones() -> None:
    # Computed with PyCO2SYS; the Guide to Best Practices (2007) has the same from memory.
    k, s = 298.15, 35.0

    assert -math.log10(lueker_k1(k, s)) == pytest.approx(5.8472, abs=1e-4)
    assert -math.log10(lueker_k2(k, s)) == pytest.approx(8.9660, abs=1e-4)
    assert math.log(carbon_dioxide_solubility(k, s)) == pytest.approx(-3.5617, abs=1e-4)
    assert math.log(boric_constant(k, s)) == pytest.approx(-19.7964, abs=1e-4)
    assert math.log(water_constant(k, s) * seawater_to_total(k, s)) == pytest.approx(
        -30.4411, abs=1e-4
    )
    assert math.log(bisulfate_constant(k, s)) == pytest.approx(-2.2996, abs=1e-4)
    assert math.log(hydrogen_fluoride_constant(k, s)) == pytest.approx(-6.0468, abs=1e-4)
    assert -math.log10(calcite_product(k, s)) == pytest.approx(6.3693, abs=1e-4)
    assert -math.log10(aragonite_product(k, s)) == pytest.approx(6.1883, abs=1e-4)
    assert clegg_whitfield_pk(temperature_c=25.0, salinity_g_kg=s) == pytest.approx(
        9.2458, abs=1e-4
    )


# Computed: PyCO2SYS 1.8.3.4 defaults; salinity, °C, alkalinity and carbon µmol/kg -> pH total,
# pCO2 µatm, carbonate µmol/kg, aragonite saturation.
@pytest.mark.parametrize(
    ("salinity_g_kg", "temperature_c", "ph", "pco2", "carbonate", "omega"),
    [
        (35.0, 25.0, 8.0459, 396.96, 213.41, 3.386),
        (35.0, 20.0, 8.1218, 323.89, 211.43, 3.287),
        (33.0, 25.0, 8.0716, 376.30, 215.80, 3.466),
        (20.0, 25.0, 8.2696, 259.75, 236.35, 3.972),
    ],
)
def test_alkalinity_and_carbon_make_the_tabled_state(
    salinity_g_kg: float,
    temperature_c: float,
    ph: float,
    pco2: float,
    carbonate: float,
    omega: float,
) -> None:
    density = _density(salinity_g_kg, temperature_c)
    state = from_alkalinity_and_carbon(
        Water(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg),
        alkalinity_meq_l=2.3 * density,
        carbon_mmol_l=2.0 * density,
    )

    assert state.ph == pytest.approx(ph, abs=1e-4)
    assert state.pco2_uatm == pytest.approx(pco2, abs=0.02)
    assert state.carbonate_mmol_l / density * 1000 == pytest.approx(carbonate, abs=0.02)
    assert state.omega_aragonite == pytest.approx(omega, abs=1e-3)


def test_two_more_pairs_make_the_tabled_state() -> None:
    # Computed: PyCO2SYS, S 35, 25 °C: TA 2300 with pH 8.1, and with pCO2 400.
    density = _density(35.0, 25.0)
    water = Water(temperature_c=25.0, salinity_g_kg=35.0)
    by_ph = from_alkalinity_and_ph(water, alkalinity_meq_l=2.3 * density, ph=8.1)
    by_gas = from_alkalinity_and_pressure(water, alkalinity_meq_l=2.3 * density, pco2_uatm=400.0)

    assert by_ph.carbon_mmol_l / density * 1000 == pytest.approx(1967.15, abs=0.02)
    assert by_ph.pco2_uatm == pytest.approx(340.11, abs=0.02)
    assert by_gas.ph == pytest.approx(8.0432, abs=1e-4)
    assert by_gas.carbon_mmol_l / density * 1000 == pytest.approx(2001.59, abs=0.02)


def test_another_librarys_own_test_file_is_met_with_the_boron_it_used() -> None:
    # Found: seacarb's test file, S 35, 20 °C, TA 2400, DIC 2000: pH 8.2556, HCO3 1715.04, CO3
    # 277.55, pCO2 229.53; that library takes Lee's boron.
    density = _density(35.0, 20.0)

    def state(boron: Boron) -> tuple[float, float, float, float]:
        water = Water(temperature_c=20.0, salinity_g_kg=35.0, boron=boron)
        found = from_alkalinity_and_carbon(
            water, alkalinity_meq_l=2.4 * density, carbon_mmol_l=2.0 * density
        )
        per_kg = 1000 / density
        return (
            found.ph,
            found.bicarbonate_mmol_l * per_kg,
            found.carbonate_mmol_l * per_kg,
            found.pco2_uatm,
        )

    lee, uppstrom = state(Boron.LEE), state(Boron.UPPSTROM)
    assert lee[0] == pytest.approx(8.2556, abs=5e-4)
    assert lee[1:] == pytest.approx((1715.04, 277.55, 229.53), rel=1e-3)
    # The wrong boron is told apart: 0.006 pH.
    assert uppstrom[0] != pytest.approx(8.2556, abs=5e-4)
    assert uppstrom[0] - lee[0] == pytest.approx(0.0061, abs=5e-4)


@pytest.mark.parametrize("option", [LUEKER, MILLERO_2010])
def test_salt_waters_of_all_kinds_agree_with_pyco2sys(option: int) -> None:
    # Computed: PyCO2SYS with the constants that each kind of water is given here.
    salinity, temperature_c = (
        axis.ravel()
        for axis in np.meshgrid(
            np.array([1.0, 5.0, 10.0, 18.9, 19.0, 30.0, 35.0, 42.0]),
            np.array([0.0, 1.9, 2.0, 15.0, 25.0, 35.0, 40.0]),
        )
    )
    as_sea = (salinity >= 19) & (temperature_c >= 2) & (temperature_c <= 35)
    mine = as_sea if option == LUEKER else ~as_sea
    salinity, temperature_c = salinity[mine], temperature_c[mine]
    density = density_kg_l(salinity_g_kg=salinity, temperature_c=temperature_c)
    theirs = PyCO2SYS.sys(
        par1=2300, par1_type=1, par2=2100, par2_type=2, opt_k_carbonic=option,
        salinity=salinity, temperature=temperature_c,
    )  # fmt: skip

    ours = from_alkalinity_and_carbon(
        Water(temperature_c=temperature_c, salinity_g_kg=salinity),
        alkalinity_meq_l=2.3 * density,
        carbon_mmol_l=2.1 * density,
    )

    assert ours.ph == pytest.approx(theirs["pH_total"], abs=1e-8)
    assert ours.pco2_uatm == pytest.approx(theirs["pCO2"], rel=1e-8)
    assert ours.omega_aragonite == pytest.approx(theirs["saturation_aragonite"], rel=1e-8)
    assert ours.omega_calcite == pytest.approx(theirs["saturation_calcite"], rel=1e-8)


def test_ammonia_is_counted_as_the_alkalinity_it_is() -> None:
    # Computed: PyCO2SYS with 200 µmol/kg of total ammonia.
    density = _density(35.0, 25.0)
    theirs = PyCO2SYS.sys(
        par1=2300, par1_type=1, par2=2000, par2_type=2, salinity=35, temperature=25,
        total_ammonia=200,
    )["pH_total"]  # fmt: skip
    tan_mg_l_n = 0.2 * NITROGEN_G_MOL * density

    ours = from_alkalinity_and_carbon(
        Water(temperature_c=25.0, salinity_g_kg=35.0, tan_mg_l_n=tan_mg_l_n),
        alkalinity_meq_l=2.3 * density,
        carbon_mmol_l=2.0 * density,
    ).ph

    assert ours == pytest.approx(float(theirs), abs=1e-8)
    assert ours != pytest.approx(8.0459, abs=5e-3)


def test_the_oldest_constants_are_told_apart() -> None:
    # Computed: option 1 (Roy et al. 1993) gives pH 8.0182 and 430 µatm where ours has 8.046, 397.
    roy = PyCO2SYS.sys(
        par1=2300, par1_type=1, par2=2000, par2_type=2, salinity=35, temperature=25,
        opt_k_carbonic=1,
    )  # fmt: skip
    density = _density(35.0, 25.0)
    ours = from_alkalinity_and_carbon(
        Water(temperature_c=25.0, salinity_g_kg=35.0),
        alkalinity_meq_l=2.3 * density,
        carbon_mmol_l=2.0 * density,
    )

    assert ours.ph - float(roy["pH_total"]) == pytest.approx(0.028, abs=0.002)
    assert float(roy["pCO2"]) / ours.pco2_uatm == pytest.approx(1.08, abs=0.01)
