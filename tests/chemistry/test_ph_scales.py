"""NBS to total pH against PyCO2SYS, which uses the same published constants."""

import PyCO2SYS
import pytest

from chemistry.domain import OutOfRange
from chemistry.ph_scales import nbs_above_total, total_from_nbs


def test_the_gap_between_scales_agrees_with_pyco2sys() -> None:
    waters = [(s, t) for s in (20.0, 30.0, 35.0, 40.0) for t in (0.0, 10.0, 25.0, 35.0)]
    result = PyCO2SYS.sys(
        par1=8.1, par1_type=3, par2=2300, par2_type=1,
        salinity=[s for s, _ in waters], temperature=[t for _, t in waters],
    )  # fmt: skip
    theirs = list(result["pH_nbs"] - result["pH_total"])

    ours = [nbs_above_total(temperature_c=t, salinity_g_kg=s) for s, t in waters]

    assert ours == pytest.approx(theirs, abs=1e-6)


def test_a_meter_in_sea_water_reads_above_the_total_scale() -> None:
    total = total_from_nbs(ph_nbs=8.2, temperature_c=25, salinity_g_kg=35)

    assert total == pytest.approx(8.063, abs=0.002)


def test_low_salinities_are_not_converted() -> None:
    with pytest.raises(OutOfRange):
        total_from_nbs(ph_nbs=8.2, temperature_c=25, salinity_g_kg=19.9)
