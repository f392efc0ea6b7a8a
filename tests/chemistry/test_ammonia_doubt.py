"""Doubt of free ammonia against the derivation's own table (computed) and brute force."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonia import unionised
from chemistry.ammonia_doubt import Sample, relative_uncertainty, slopes, spread
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale


def _sample(ph: float, temperature_c: float, salinity_g_kg: float = 0.0) -> Sample:
    return Sample(
        ph=ph,
        temperature_c=temperature_c,
        salinity_g_kg=salinity_g_kg,
        ph_scale=PhScale.NBS,
        ph_uncertainty=0.1,
        temperature_uncertainty_c=0.5,
    )


# Computed by hand from Emerson's equation: slopes, the two ends of 0.1 pH, and the whole with
# 0.5 °C and 10 % of TAN.
@pytest.mark.parametrize(
    ("temperature_c", "ph", "by_ph", "by_c", "up", "down", "whole"),
    [
        (25.0, 7.0, 2.290, 0.0703, 0.257, -0.205, 0.252),
        (25.0, 8.0, 2.179, 0.0669, 0.242, -0.197, 0.242),
        (25.0, 8.5, 1.952, 0.0600, 0.211, -0.180, 0.221),
        (25.0, 9.0, 1.469, 0.0451, 0.151, -0.142, 0.179),
        (20.0, 8.0, 2.215, 0.0704, 0.247, -0.199, 0.246),
    ],
)
def test_fresh_water_follows_the_derivation(
    temperature_c: float, ph: float, by_ph: float, by_c: float, up: float, down: float, whole: float
) -> None:
    sample = _sample(ph, temperature_c)
    only_ph = Sample(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=0.0, ph_scale=PhScale.NBS,
        ph_uncertainty=0.1, temperature_uncertainty_c=0.0,
    )  # fmt: skip

    assert slopes(sample) == pytest.approx((by_ph, by_c), abs=6e-4)
    ends = spread(only_ph, tan_relative_uncertainty=0.0)
    assert (ends.above, ends.below) == pytest.approx((up, down), abs=6e-4)
    assert spread(sample, tan_relative_uncertainty=0.10).standard == pytest.approx(whole, abs=6e-4)


def test_a_kit_read_to_two_tenths_leaves_a_factor_of_two() -> None:
    # Computed: f between 0.0345 and 0.0825 for pH 8.0 ± 0.2 at 25 °C.
    low, high = (
        unionised(ph=ph, temperature_c=25.0, salinity_g_kg=0.0, ph_scale=PhScale.NBS).fraction
        for ph in (7.8, 8.2)
    )

    assert (low, high) == pytest.approx((0.0345, 0.0825), abs=1e-4)
    assert high / low == pytest.approx(2.4, abs=0.02)


@pytest.mark.parametrize("scale", PhScale)
@pytest.mark.parametrize("salinity_g_kg", [0.0, 35.0])
def test_a_hundred_thousand_draws_scatter_as_propagated(
    salinity_g_kg: float, scale: PhScale
) -> None:
    # Monte Carlo (JCGM 101) as the second method; small doubts, so the first order holds.
    draw, size = np.random.default_rng(3), 100_000
    sample = Sample(
        ph=8.1, temperature_c=24.0, salinity_g_kg=salinity_g_kg, ph_scale=scale,
        ph_uncertainty=0.02, temperature_uncertainty_c=0.3,
    )  # fmt: skip
    share = unionised(
        ph=draw.normal(8.1, 0.02, size), temperature_c=draw.normal(24.0, 0.3, size),
        salinity_g_kg=np.full(size, salinity_g_kg), ph_scale=scale,
    ).fraction  # fmt: skip
    drawn = share * draw.normal(1, 0.05, size)

    assert spread(sample, tan_relative_uncertainty=0.05).standard == pytest.approx(
        drawn.std() / drawn.mean(), rel=0.01
    )


def test_emersons_slope_serves_all_waters_nearly() -> None:
    salt = _sample(8.2, 25.0, 35.0)
    fraction = unionised(
        ph=8.2, temperature_c=25.0, salinity_g_kg=35.0, ph_scale=PhScale.NBS
    ).fraction
    short = relative_uncertainty(
        fraction=fraction,
        temperature_c=25.0,
        ph_uncertainty=0.1,
        temperature_uncertainty_c=0.5,
        tan_relative_uncertainty=0.1,
    )

    assert spread(salt, tan_relative_uncertainty=0.1).standard == pytest.approx(short, rel=0.01)


# Where less than half is NH3; beyond, the curve bends the other way.
@given(ph=st.floats(5, 8.7), temperature_c=st.floats(2, 38), salinity_g_kg=st.floats(0, 40))
def test_up_is_further_than_down_and_none_is_zero(
    ph: float, temperature_c: float, salinity_g_kg: float
) -> None:
    found = spread(_sample(ph, temperature_c, salinity_g_kg), tan_relative_uncertainty=0.1)

    assert -1 < found.below < 0 < found.above
    assert found.above >= -found.below
    assert -found.below <= found.standard <= found.above


def test_a_doubt_that_leaves_the_formula_is_refused() -> None:
    with pytest.raises(OutOfRange):
        spread(_sample(10.95, 25.0), tan_relative_uncertainty=0.1)
