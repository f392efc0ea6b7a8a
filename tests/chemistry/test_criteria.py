"""Ammonia and chlorine limits against the agencies' printed tables."""

from collections.abc import Callable, Mapping

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.criteria import (
    FRESH_CHLORINE_ACUTE_UG_L_CL2,
    FRESH_CHLORINE_CHRONIC_UG_L_CL2,
    SALT_CHLORINE_ACUTE_UG_L_CL2,
    SALT_CHLORINE_CHRONIC_UG_L_CL2,
    fresh_acute_mg_l_n,
    fresh_acute_with_salmonids_mg_l_n,
    fresh_chronic_mg_l_n,
    fresh_four_day_mg_l_n,
    salt_acute_mg_l_n,
    salt_acute_mg_l_nh3,
    salt_chronic_mg_l_n,
    salt_chronic_mg_l_nh3,
)
from chemistry.domain import OutOfRange

PHS = (6.5, 7.0, 7.5, 8.0, 8.5, 9.0)

# Oregon DEQ Tables 30(a), (b), (c), which restate the tables of EPA 822-R-13-001; mg TAN/L.
SALMONIDS = {
    10: (33, 24, 13, 5.6, 2.1, 0.88),
    20: (23, 17, 9.2, 3.9, 1.5, 0.62),
    30: (9.9, 7.3, 4.0, 1.7, 0.65, 0.27),
}
ABSENT = {
    10: (51, 38, 21, 8.8, 3.3, 1.4),
    20: (23, 17, 9.2, 3.9, 1.5, 0.62),
    30: (9.9, 7.3, 4.0, 1.7, 0.65, 0.27),
}
CHRONIC = {
    5: (4.9, 4.4, 3.2, 1.8, 0.80, 0.36),
    20: (2.1, 1.9, 1.4, 0.78, 0.35, 0.16),
    30: (1.1, 0.99, 0.73, 0.41, 0.18, 0.081),
}
TABLES: tuple[tuple[Callable[..., float], Mapping[int, tuple[float, ...]]], ...] = (
    (fresh_acute_with_salmonids_mg_l_n, SALMONIDS),
    (fresh_acute_mg_l_n, ABSENT),
    (fresh_chronic_mg_l_n, CHRONIC),
)


@pytest.mark.parametrize(("limit", "table"), TABLES)
def test_fresh_water_limits_are_the_printed_ones(
    limit: Callable[..., float], table: Mapping[int, tuple[float, ...]]
) -> None:
    computed = {t: tuple(_two_figures(limit(ph=ph, temperature_c=t)) for ph in PHS) for t in table}

    assert computed == table


def test_a_known_wrong_transcription_misses_the_printed_table() -> None:
    # "10 - max(t, 7)", found in three public copies, gives 0.99 where 1.9 is printed.
    right = fresh_chronic_mg_l_n(ph=7.0, temperature_c=20)
    wrong = right * 10 ** (0.028 * (10 - 20))

    assert _two_figures(right) == 1.9
    assert _two_figures(wrong) == 0.99


def test_headline_values_unrounded() -> None:
    # Computed from the formulas; Best-known entries 16.76, 1.887 and 2.5 x CCC.
    here = {"ph": 7.0, "temperature_c": 20.0}
    warm = {"ph": 8.0, "temperature_c": 25.0}

    assert fresh_acute_mg_l_n(**here) == pytest.approx(16.76, abs=0.005)
    assert fresh_chronic_mg_l_n(**here) == pytest.approx(1.887, abs=0.0005)
    assert fresh_four_day_mg_l_n(**here) == pytest.approx(4.72, abs=0.005)
    assert fresh_acute_with_salmonids_mg_l_n(**warm) == pytest.approx(2.580, abs=0.0005)
    assert fresh_chronic_mg_l_n(**warm) == pytest.approx(0.5629, abs=0.00005)


def test_lost_brackets_and_points_are_told_apart() -> None:
    # Found in public copies: "1+10^..." without brackets, and 10^7204-pH for 10^(7.204-pH).
    ph, temperature_c = 7.0, 20.0
    warmth = 23.12 * 10 ** (0.036 * (20 - temperature_c))
    unbracketed = 0.7249 * (0.0114 / 1 + 10 ** (7.204 - ph) + 1.6181 / 1 + 10 ** (ph - 7.204))

    assert fresh_acute_mg_l_n(ph=ph, temperature_c=temperature_c) == pytest.approx(17, abs=0.5)
    assert unbracketed * warmth != pytest.approx(17, abs=5)
    with pytest.raises(OverflowError):
        10.0 ** (7204 - ph)


def test_three_entries_of_the_public_copy_do_not_fit_its_own_formula() -> None:
    # Found: S 30: pH 7.6, 20 °C "21"; pH 8.2, 5 °C "11"; pH 8.0, 20 °C "7.5".
    for ph, temperature_c, misprint in ((7.6, 20.0, 21), (8.2, 5.0, 11), (8.0, 20.0, 7.5)):
        limit = salt_acute_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=30.0)
        assert limit != pytest.approx(misprint, rel=0.04)


def test_taking_the_salt_limits_as_nitrogen_misses_the_printed_table() -> None:
    # Found: 5.0 mg/L as NH3 at S 30, 25 °C, pH 8.0. Read as N, 0.233 would make it 6.1.
    right = salt_acute_mg_l_nh3(ph=8.0, temperature_c=25.0, salinity_g_kg=30.0)
    wrong = right * 17.031 / 14.007

    assert right == pytest.approx(5.010, abs=0.001)
    assert wrong != pytest.approx(5.0, rel=0.1)
    # Computed test vector: 4.120 and 0.6189 as N.
    assert salt_acute_mg_l_n(ph=8.0, temperature_c=25.0, salinity_g_kg=30.0) == pytest.approx(
        4.120, abs=0.001
    )
    assert salt_chronic_mg_l_n(ph=8.0, temperature_c=25.0, salinity_g_kg=30.0) == pytest.approx(
        0.6189, abs=0.0005
    )


def test_an_array_of_waters_has_its_limits_at_once() -> None:
    ph = np.array([6.5, 7.0, 8.0, 9.0])
    temperature_c = np.array([5.0, 20.0, 30.0, 10.0])

    for limit, _ in TABLES:
        together = limit(ph=ph, temperature_c=temperature_c)
        apart = [
            limit(ph=float(p), temperature_c=float(t))
            for p, t in zip(ph, temperature_c, strict=True)
        ]
        assert together == pytest.approx(apart, rel=1e-12)


# EPA 440/5-88-004 pp. 30-31, acute total ammonia, mg/L as NH3, by a public transcription. Three
# of its entries do not fit the document's own formula and are left out.
@pytest.mark.parametrize(
    ("salinity_g_kg", "ph", "temperature_c", "printed"),
    [
        (10, 7.0, 10, 131), (10, 7.0, 25, 44), (10, 8.0, 20, 6.4), (10, 8.0, 30, 3.1),
        (20, 8.0, 20, 6.7), (20, 8.0, 25, 4.8), (20, 8.2, 25, 3.1),
        (30, 7.0, 10, 148), (30, 7.0, 20, 71), (30, 8.0, 25, 5.0), (30, 8.0, 30, 3.5),
        (30, 8.2, 15, 6.7), (30, 8.2, 25, 3.3), (30, 8.4, 25, 2.1),
    ],
)  # fmt: skip
def test_salt_water_limits_are_the_printed_ones(
    salinity_g_kg: float, ph: float, temperature_c: float, printed: float
) -> None:
    limit = salt_acute_mg_l_nh3(ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)

    assert limit == pytest.approx(printed, rel=0.03)


def test_salt_water_limits_as_nitrogen_are_smaller_by_the_regulators_factor() -> None:
    # Oregon DEQ multiplies the total, which is as NH3, by 0.822 to get N.
    water = {"ph": 8.0, "temperature_c": 25.0, "salinity_g_kg": 30.0}

    assert salt_acute_mg_l_n(**water) == pytest.approx(
        0.822 * salt_acute_mg_l_nh3(**water), rel=1e-3
    )
    assert salt_chronic_mg_l_n(**water) == pytest.approx(
        0.822 * salt_chronic_mg_l_nh3(**water), rel=1e-3
    )
    # 0.233 and 0.035 mg/L un-ionised: Washington Administrative Code 173-201A-240.
    assert salt_acute_mg_l_nh3(**water) / salt_chronic_mg_l_nh3(**water) == pytest.approx(
        0.233 / 0.035
    )


def test_chlorine_limits_are_the_published_ones() -> None:
    # Washington Administrative Code 173-201A-240, Table 240, micrograms per litre.
    assert (FRESH_CHLORINE_ACUTE_UG_L_CL2, FRESH_CHLORINE_CHRONIC_UG_L_CL2) == (19, 11)
    assert (SALT_CHLORINE_ACUTE_UG_L_CL2, SALT_CHLORINE_CHRONIC_UG_L_CL2) == (13, 7.5)


@given(
    ph=st.floats(min_value=6.5, max_value=8.9),
    temperature_c=st.floats(min_value=0, max_value=29),
)
def test_limits_tighten_as_water_turns_alkaline_or_warm(ph: float, temperature_c: float) -> None:
    for limit, _ in TABLES:
        here = limit(ph=ph, temperature_c=temperature_c)
        assert limit(ph=ph + 0.1, temperature_c=temperature_c) < here
        assert limit(ph=ph, temperature_c=temperature_c + 1) <= here


@given(temperature_c=st.floats(min_value=0, max_value=7))
def test_chronic_limit_is_flat_below_seven_degrees(temperature_c: float) -> None:
    at_seven = fresh_chronic_mg_l_n(ph=8.0, temperature_c=7.0)

    assert fresh_chronic_mg_l_n(ph=8.0, temperature_c=temperature_c) == pytest.approx(at_seven)


@pytest.mark.parametrize(("ph", "temperature_c"), [(6.4, 20), (9.1, 20), (8, -1), (8, 31)])
def test_limits_stop_where_the_tables_stop(ph: float, temperature_c: float) -> None:
    for limit, _ in TABLES:
        with pytest.raises(OutOfRange):
            limit(ph=ph, temperature_c=temperature_c)


def test_salt_limits_stop_where_their_tables_stop() -> None:
    with pytest.raises(OutOfRange):
        salt_acute_mg_l_n(ph=6.9, temperature_c=20, salinity_g_kg=30)
    with pytest.raises(OutOfRange):
        salt_acute_mg_l_n(ph=8.0, temperature_c=20, salinity_g_kg=0.4)


def _two_figures(value: float) -> float:
    return float(f"{value:.2g}")
