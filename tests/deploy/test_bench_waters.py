"""The simulator's carbonate system, held against PyCO2SYS 1.8.3 (computed)."""

from typing import Any

import numpy as np
import PyCO2SYS
import pytest

from deploy.bench.startups.waters import (
    Equilibria,
    co2_mmol_l,
    equilibria,
    equilibrium_dic_mmol_l,
    ph,
)

WATERS = [(25.0, 35.0), (20.0, 10.0), (25.0, 0.3), (15.0, 30.0)]


def ours(temperature_c: float, salinity: float) -> Equilibria:
    return equilibria(temperature_c=np.array([temperature_c]), salinity=np.array([salinity]))


def theirs(temperature_c: float, salinity: float, *, tan_umol: float = 0.0) -> dict[str, Any]:
    """Millero 2010 on the seawater scale, at 2.3 meq alkalinity and 2.1 mmol carbon."""
    found: dict[str, Any] = PyCO2SYS.sys(
        par1=2300.0,
        par2=2100.0,
        par1_type=1,
        par2_type=2,
        temperature=temperature_c,
        salinity=salinity,
        total_ammonia=tan_umol,
        opt_k_carbonic=14,
        opt_pH_scale=2,
    )
    return found


@pytest.mark.parametrize(("temperature_c", "salinity"), WATERS)
def test_carbonic_acid_and_water_dissociate_as_published(
    temperature_c: float, salinity: float
) -> None:
    at, reference = ours(temperature_c, salinity), theirs(temperature_c, salinity)

    assert at.carbonic_1[0] == pytest.approx(reference["k_carbonic_1"], rel=1e-6)
    assert at.carbonic_2[0] == pytest.approx(reference["k_carbonic_2"], rel=1e-6)
    assert at.water[0] == pytest.approx(reference["k_water"], rel=1e-6)


@pytest.mark.parametrize(("temperature_c", "salinity"), WATERS)
def test_boric_acid_and_ammonium_agree_but_for_the_scale(
    temperature_c: float, salinity: float
) -> None:
    """Dickson's constant is on the total scale, 0.01 away; its ammonium is another fit."""
    at, reference = ours(temperature_c, salinity), theirs(temperature_c, salinity)

    assert np.log10(at.boric[0] / reference["k_borate"]) == pytest.approx(0.0, abs=0.015)
    assert np.log10(at.ammonium[0] / reference["k_ammonia"]) == pytest.approx(0.0, abs=0.03)
    assert at.boron[0] * 1e6 == pytest.approx(reference["total_borate"], rel=1e-6)


@pytest.mark.parametrize(("temperature_c", "salinity"), WATERS)
def test_ph_of_a_water_with_ammonia_is_found(temperature_c: float, salinity: float) -> None:
    reference = theirs(temperature_c, salinity, tan_umol=100.0)
    at = ours(temperature_c, salinity)

    found = ph(
        alkalinity_meq_l=np.array([2.3]),
        dic_mmol_l=np.array([2.1]),
        tan_mg_l_n=np.array([1.4007]),
        at=at,
        near=np.array([7.9]),
    )

    assert found[0] == pytest.approx(reference["pH"], abs=0.006)
    co2 = co2_mmol_l(dic_mmol_l=np.array([2.1]), ph=found, at=at)
    assert co2[0] * 1e3 == pytest.approx(reference["CO2"], rel=0.015)


@pytest.mark.parametrize(("temperature_c", "salinity"), WATERS)
def test_a_standing_water_holds_the_carbon_dioxide_of_its_air(
    temperature_c: float, salinity: float
) -> None:
    at, wanted, alkalinity = ours(temperature_c, salinity), np.array([0.02]), np.array([1.2])

    dic = equilibrium_dic_mmol_l(alkalinity_meq_l=alkalinity, co2_mmol_l=wanted, at=at)

    none = np.zeros(1)
    balanced = ph(
        alkalinity_meq_l=alkalinity, dic_mmol_l=dic, tan_mg_l_n=none, at=at, near=np.array([8.0])
    )
    assert co2_mmol_l(dic_mmol_l=dic, ph=balanced, at=at) == pytest.approx(wanted, rel=1e-4)
