"""Arrays of waters: the same numbers as one by one, in kind, and fast."""

import math
import timeit

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as stn

from chemistry.ammonia import EMERSON, SALT_METHODS, unionised
from chemistry.ammonium import emerson_fraction
from chemistry.domain import Floats, OutOfRange
from chemistry.ph_scales import PhScale

WATERS = np.array([0.0, 0.4, 0.5, 0.6, 5.0, 20.0, 35.0, 40.0])
SIZE = 1_000_000


@pytest.mark.parametrize("scale", PhScale)
def test_an_array_of_mixed_waters_is_each_water_by_itself(scale: PhScale) -> None:
    ph = np.linspace(6.5, 8.8, WATERS.size)
    temperature_c = np.linspace(8.0, 32.0, WATERS.size)

    together = unionised(ph=ph, temperature_c=temperature_c, salinity_g_kg=WATERS, ph_scale=scale)
    apart = [
        unionised(
            ph=float(p), temperature_c=float(t), salinity_g_kg=float(s), ph_scale=scale
        ).fraction
        for p, t, s in zip(ph, temperature_c, WATERS, strict=True)
    ]

    assert together.fraction == pytest.approx(apart, rel=1e-12)
    assert EMERSON in together.method
    assert SALT_METHODS[scale] in together.method


def test_a_column_and_a_row_make_a_table() -> None:
    ph = np.array([[7.0], [8.0]])
    temperature_c = np.array([[10.0, 20.0, 30.0]])

    table = unionised(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=np.zeros((1, 1)), ph_scale=PhScale.NBS
    ).fraction

    assert table.shape == (2, 3)
    assert table[1, 1] == emerson_fraction(ph=8.0, temperature_c=20.0)


def test_numbers_answer_in_pythons_own() -> None:
    one = unionised(ph=np.float64(8.0), temperature_c=25.0, salinity_g_kg=0.0, ph_scale=PhScale.NBS)

    assert type(one.fraction) is float


@pytest.mark.parametrize("spoiled", [math.nan, math.inf, 3.9, 11.1])
def test_one_bad_element_refuses_the_array_by_name(spoiled: float) -> None:
    ph = np.full(5, 8.0)
    ph[3] = spoiled

    with pytest.raises(OutOfRange) as refusal:
        unionised(
            ph=ph, temperature_c=np.full(5, 25.0), salinity_g_kg=WATERS[:5], ph_scale=PhScale.NBS
        )

    assert refusal.value.field == "ph"


@given(
    ph=stn.arrays(float, 6, elements=st.floats(5, 10)),
    temperature_c=stn.arrays(float, 6, elements=st.floats(0, 40)),
    salinity_g_kg=stn.arrays(float, 6, elements=st.floats(0, 40)),
    scale=st.sampled_from(PhScale),
)
def test_no_allowed_water_gives_anything_but_a_share(
    ph: Floats, temperature_c: Floats, salinity_g_kg: Floats, scale: PhScale
) -> None:
    share = unionised(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, ph_scale=scale
    ).fraction

    assert np.all((share > 0) & (share < 1))


def test_a_million_fresh_shares_take_at_most_twice_the_bare_expression() -> None:
    random = np.random.default_rng(7)
    ph, temperature_c = random.uniform(6, 9, SIZE), random.uniform(5, 35, SIZE)
    fresh = np.zeros(SIZE)

    bare = _best(lambda: 1 / (1 + 10 ** (0.09018 + 2729.92 / (temperature_c + 273.15) - ph)))
    ours = _best(
        lambda: (
            unionised(
                ph=ph, temperature_c=temperature_c, salinity_g_kg=fresh, ph_scale=PhScale.NBS
            ).fraction
        )
    )

    assert ours < 2 * bare


def test_a_million_mixed_shares_take_at_most_twice_the_bare_expression() -> None:
    random = np.random.default_rng(8)
    ph, temperature_c = random.uniform(6, 9, SIZE), random.uniform(5, 35, SIZE)
    salinity = np.where(random.random(SIZE) < 0.4, 0.0, random.uniform(1, 40, SIZE))

    def bare() -> Floats:
        kelvin = temperature_c + 273.15
        ionic = 19.9273 * salinity / (1000 - 1.005109 * salinity)
        salt = 9.245 + 0.116 * ionic + 0.0324 * (298 - kelvin) + 0.0415 / kelvin
        pk = np.where(salinity <= 0.5, 0.09018 + 2729.92 / kelvin, salt)
        share: Floats = 1 / (1 + 10 ** (pk - ph))
        return share

    def ours() -> Floats:
        return unionised(
            ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity, ph_scale=PhScale.NBS
        ).fraction

    np.testing.assert_allclose(ours(), bare(), rtol=1e-12)
    assert _best(ours) < 2 * _best(bare)


def _best(run: object) -> float:
    assert callable(run)
    return min(timeit.repeat(run, number=1, repeat=9))
