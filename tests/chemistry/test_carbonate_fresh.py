"""Fresh water's carbonate system against PHREEQC and the printed constants."""

import math

import phreeqpython
import pytest

from chemistry import fresh_carbonic
from chemistry.alkalinity import meq_l_from_dkh
from chemistry.carbonate import from_alkalinity_and_ph, from_alkalinity_and_pressure
from chemistry.carbonate_constants import Water


def _fresh(temperature_c: float, calcium_mg_l: float | None = None) -> Water[float]:
    return Water(temperature_c=temperature_c, salinity_g_kg=0.0, calcium_mg_l=calcium_mg_l)


# Found in the public PHREEQC data file (coefficients of Plummer & Busenberg 1982) and computed
# from them: log KH, pK1, pK2, calcite, aragonite.
@pytest.mark.parametrize(
    ("temperature_c", "printed"),
    [
        (0.0, (-1.1084, 6.5786, 10.6286, 8.3814, 8.2180)),
        (10.0, (-1.2694, 6.4633, 10.4879, 8.4105, 8.2553)),
        (25.0, (-1.4679, 6.3519, 10.3289, 8.4798, 8.3361)),
        (30.0, (-1.5244, 6.3281, 10.2879, 8.5098, 8.3695)),
    ],
)
def test_constants_are_the_tabled_ones(
    temperature_c: float, printed: tuple[float, float, float, float, float]
) -> None:
    kelvin = temperature_c + 273.15
    ours = (
        math.log10(fresh_carbonic.carbon_dioxide_solubility(kelvin)),
        -math.log10(fresh_carbonic.k1(kelvin)),
        -math.log10(fresh_carbonic.k2(kelvin)),
        -math.log10(fresh_carbonic.calcite_product(kelvin)),
        -math.log10(fresh_carbonic.aragonite_product(kelvin)),
    )

    assert ours == pytest.approx(printed, abs=1e-4)


# Computed: phreeqpython with phreeqc.dat, NaHCO3 water; mg/L CO2.
@pytest.mark.parametrize(
    ("dkh", "ph", "temperature_c", "co2"),
    [
        (4.0, 7.0, 25.0, 13.51),
        (4.0, 6.6, 25.0, 33.97),
        (4.0, 7.0, 20.0, 14.49),
        (8.0, 7.5, 25.0, 8.38),
        (2.0, 6.5, 25.0, 21.65),
    ],
)
def test_carbon_dioxide_is_the_tabled_one_and_the_rule_of_thumb_is_not(
    dkh: float, ph: float, temperature_c: float, co2: float
) -> None:
    alkalinity = meq_l_from_dkh(alkalinity_dkh=dkh)
    ours = from_alkalinity_and_ph(
        _fresh(temperature_c), alkalinity_meq_l=alkalinity, ph=ph
    ).co2_mg_l
    ideal = 44.009 * alkalinity * 10 ** (6.3519 - ph)

    assert ours == pytest.approx(co2, rel=0.002)
    # 3 x dKH x 10^(7 - pH) is 9 to 17 % low, the formula without activities 3 to 7 % high.
    assert 0.08 < 1 - 3 * dkh * 10 ** (7 - ph) / ours < 0.18
    if temperature_c == 25:
        assert 0.02 < ideal / ours - 1 < 0.08


@pytest.mark.parametrize("temperature_c", [5.0, 15.0, 25.0, 35.0])
@pytest.mark.parametrize(("meq_l", "ph"), [(0.3, 6.5), (1.0, 7.2), (2.5, 7.8), (5.0, 8.4)])
def test_phreeqc_agrees_on_every_species(temperature_c: float, meq_l: float, ph: float) -> None:
    # Computed: PHREEQC, per kg of water, which is a litre within 0.6 %; sodium balances.
    theirs = phreeqpython.PhreeqPython().add_solution(
        {"temp": temperature_c, "pH": ph, "units": "mmol/kgw", "Alkalinity": meq_l, "Na": meq_l}
    )

    ours = from_alkalinity_and_ph(_fresh(temperature_c), alkalinity_meq_l=meq_l, ph=ph)

    assert ours.co2_mg_l == pytest.approx(theirs.species["CO2"] * 44009, rel=0.01)
    assert ours.bicarbonate_mmol_l == pytest.approx(theirs.species["HCO3-"] * 1000, rel=0.01)
    assert ours.carbonate_mmol_l == pytest.approx(theirs.species["CO3-2"] * 1000, rel=0.03)


# Computed: phreeqpython, 420 µatm, 25 °C.
@pytest.mark.parametrize(("dkh", "ph"), [(0.0, 5.598), (2.0, 8.031), (4.0, 8.322), (8.0, 8.606)])
def test_aerated_water_reaches_the_tabled_ph(dkh: float, ph: float) -> None:
    state = from_alkalinity_and_pressure(
        _fresh(25.0), alkalinity_meq_l=meq_l_from_dkh(alkalinity_dkh=dkh), pco2_uatm=420.0
    )

    assert state.ph == pytest.approx(ph, abs=0.003)
    assert state.co2_mg_l == pytest.approx(0.629, abs=0.003)


@pytest.mark.parametrize(("calcium_mmol", "ph"), [(0.5, 7.0), (1.0, 8.0), (2.0, 8.3)])
def test_calcite_saturation_agrees_with_phreeqc(calcium_mmol: float, ph: float) -> None:
    # Computed: PHREEQC, calcium bicarbonate water; its ion pairs CaHCO3+ are not in ours.
    meq_l = 2 * calcium_mmol
    theirs = phreeqpython.PhreeqPython().add_solution(
        {"temp": 25.0, "pH": ph, "units": "mmol/kgw", "Alkalinity": meq_l, "Ca": calcium_mmol}
    )
    ours = from_alkalinity_and_ph(
        _fresh(25.0, 40.078 * calcium_mmol), alkalinity_meq_l=meq_l, ph=ph
    )

    assert ours.omega_calcite is not None
    assert math.log10(ours.omega_calcite) == pytest.approx(theirs.si("Calcite"), abs=0.12)


def test_without_calcium_nothing_is_said_of_saturation() -> None:
    state = from_alkalinity_and_ph(_fresh(25.0), alkalinity_meq_l=2.0, ph=7.5)

    assert state.omega_calcite is None
    assert state.omega_aragonite is None
