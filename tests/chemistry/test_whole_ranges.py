"""Over the whole of what is accepted, arrays and numbers alike come out finite and in kind."""

from collections.abc import Callable, Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chemistry import (
    alkalinity,
    ammonium,
    buffers,
    criteria,
    electrode,
    other_criteria,
    oxygen,
    ph_scales,
    sea_carbonic,
)
from chemistry.domain import Range

Formula = Callable[..., float]
EPA_WATER = {
    "ph": criteria.SALT_PH,
    "temperature_c": criteria.SALT_TEMPERATURE,
    "salinity_g_kg": criteria.SALT_SALINITY,
}
FRESH = {"ph": criteria.FRESH_PH, "temperature_c": criteria.FRESH_TEMPERATURE}
SEA_ACIDS = {
    "kelvin": Range(name="temperature", unit="K", low=273.15, high=318.15),
    "salinity_g_kg": sea_carbonic.MILLERO_SALINITY,
}
BUFFER_C = buffers.temperatures(buffers.Buffer.CARBONATE)

FORMULAS: tuple[tuple[Formula, Mapping[str, Range]], ...] = (
    (ammonium.emerson_pka, {"temperature_c": ammonium.EMERSON_TEMPERATURE}),
    (
        ammonium.clegg_whitfield_pk,
        {"temperature_c": ammonium.SEAWATER_TEMPERATURE, "salinity_g_kg": ammonium.SALINITY},
    ),
    (
        ammonium.yao_millero_pk,
        {"temperature_c": ammonium.YAO_MILLERO_TEMPERATURE, "salinity_g_kg": ammonium.SALINITY},
    ),
    (
        ammonium.epa_1989_fraction,
        {
            "ph": ammonium.PH,
            "temperature_c": ammonium.EPA_TEMPERATURE,
            "salinity_g_kg": ammonium.SALINITY,
        },
    ),
    (criteria.fresh_acute_mg_l_n, FRESH),
    (criteria.fresh_acute_with_salmonids_mg_l_n, FRESH),
    (criteria.fresh_chronic_mg_l_n, FRESH),
    (criteria.fresh_four_day_mg_l_n, FRESH),
    (criteria.salt_acute_mg_l_n, EPA_WATER),
    (criteria.salt_chronic_mg_l_nh3, EPA_WATER),
    (other_criteria.fresh_1999_chronic_mg_l_n, FRESH),
    (other_criteria.ccme_2010_mg_l_n, FRESH),
    (
        oxygen.saturation_mg_l,
        {
            "temperature_c": oxygen.TEMPERATURE,
            "salinity_g_kg": oxygen.SALINITY,
            "pressure_atm": oxygen.PRESSURE,
        },
    ),
    (oxygen.pressure_at_altitude_atm, {"altitude_m": oxygen.ALTITUDE}),
    (
        ph_scales.nbs_above_total,
        {"temperature_c": ph_scales.TEMPERATURE, "salinity_g_kg": ph_scales.SALINITY},
    ),
    (alkalinity.dkh_from_meq_l, {"alkalinity_meq_l": alkalinity.ALKALINITY}),
    (electrode.nernst_slope_mv, {"temperature_c": electrode.TEMPERATURE}),
    (buffers.phthalate_ph, {"temperature_c": buffers.PHTHALATE_TEMPERATURE}),
    (sea_carbonic.lueker_k1, SEA_ACIDS),
    (sea_carbonic.millero_2010_k2, SEA_ACIDS),
    (sea_carbonic.boric_constant, SEA_ACIDS),
    (sea_carbonic.water_constant, SEA_ACIDS),
    (sea_carbonic.carbon_dioxide_solubility, SEA_ACIDS),
    (sea_carbonic.aragonite_product, SEA_ACIDS),
)
every = pytest.mark.parametrize(
    ("formula", "ranges"), FORMULAS, ids=lambda it: getattr(it, "__name__", "")
)


@every
@settings(max_examples=30)
@given(shares=st.lists(st.tuples(*[st.floats(0, 1)] * 3), min_size=1, max_size=8))
def test_arrays_are_the_numbers_one_by_one(
    formula: Formula, ranges: Mapping[str, Range], shares: list[tuple[float, float, float]]
) -> None:
    columns = {
        name: accepted.low
        + np.array([share[at] for share in shares]) * (accepted.high - accepted.low)
        for at, (name, accepted) in enumerate(ranges.items())
    }
    columns = {
        name: column.clip(ranges[name].low, ranges[name].high) for name, column in columns.items()
    }
    asked = _call(formula)

    together = asked(columns)
    apart = [
        asked({name: float(column[row]) for name, column in columns.items()})
        for row in range(len(shares))
    ]

    assert np.all(np.isfinite(together))
    np.testing.assert_allclose(together, apart, rtol=1e-9)
    assert all(type(one) is float for one in apart)


def _call(formula: Formula) -> Callable[[Mapping[str, object]], float]:
    """Return the formula as a function of its named arguments, positional or not."""

    def call(arguments: Mapping[str, object]) -> float:
        if formula.__module__ == sea_carbonic.__name__:
            return formula(*arguments.values())
        return formula(**arguments)

    return call
