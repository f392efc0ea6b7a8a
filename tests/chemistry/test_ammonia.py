"""The un-ionised fraction against printed tables and two independent libraries."""

import math

import phreeqpython
import PyCO2SYS
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.ammonia import unionised, unionised_mg_l_n
from chemistry.ammonia_doubt import relative_uncertainty
from chemistry.ammonium import (
    clegg_whitfield_fraction,
    clegg_whitfield_pk,
    emerson_fraction,
    emerson_pka,
    epa_1989_fraction,
    epa_1989_pk,
)
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale

# Table of un-ionised ammonia, UF/IFAS FA031 (Francis-Floyd et al., "Ammonia in Aquatic Systems"),
# reprinted as Table 1.4 of Fundamentals of Aquatic Veterinary Medicine. Its 32 °C column and its
# entry pH 7.4, 20 °C do not follow Emerson's equation and are left out here (see below).
TEMPERATURES_C = (6, 10, 14, 18, 20, 24, 26, 28, 30)
PRINTED = {
    7.0: (0.0013, 0.0018, 0.0025, 0.0034, 0.0039, 0.0052, 0.0060, 0.0069, 0.0080),
    7.4: (0.0034, 0.0046, 0.0063, 0.0085, None, 0.0131, 0.0150, 0.0173, 0.0198),
    8.0: (0.0133, 0.0182, 0.0247, 0.0330, 0.0381, 0.0502, 0.0574, 0.0654, 0.0743),
    8.2: (0.0210, 0.0286, 0.0385, 0.0514, 0.0590, 0.0772, 0.0880, 0.0998, 0.1129),
    8.4: (0.0328, 0.0445, 0.0597, 0.0790, 0.0904, 0.1171, 0.1326, 0.1495, 0.1678),
}


@pytest.mark.parametrize(
    ("ph", "temperature_c", "printed"),
    [
        (ph, temperature_c, printed)
        for ph, row in PRINTED.items()
        for temperature_c, printed in zip(TEMPERATURES_C, row, strict=True)
        if printed is not None
    ],
)
def test_fresh_water_follows_the_printed_table(
    ph: float, temperature_c: float, printed: float
) -> None:
    assert emerson_fraction(ph=ph, temperature_c=temperature_c) == pytest.approx(printed, abs=1e-4)


@pytest.mark.parametrize(
    ("ph", "temperature_c", "misprint"), [(8.0, 32, 0.0877), (7.4, 20, 0.0096)]
)
def test_misprints_of_that_table_are_not_followed(
    ph: float, temperature_c: float, misprint: float
) -> None:
    fraction = emerson_fraction(ph=ph, temperature_c=temperature_c)

    assert fraction != pytest.approx(misprint, abs=1e-4)


def test_a_constant_misprinted_in_a_public_package_is_told_apart() -> None:
    # 2727.92 for 2729.92 makes 1.5 % more NH3 at 25 °C, pH 8.
    assert emerson_pka(temperature_c=25) != pytest.approx(0.09018 + 2727.92 / 298.15, abs=1e-3)


@pytest.mark.parametrize(("temperature_c", "ph"), [(10, 8.0), (20, 8.0), (25, 7.0), (25, 8.5)])
def test_fresh_water_agrees_with_phreeqc(temperature_c: float, ph: float) -> None:
    # phreeqc.dat is an oracle for fresh water only: in sea water it reads 34-42 % low.
    water = phreeqpython.PhreeqPython().add_solution_simple(
        {"NH4Cl": 0.01}, temperature=temperature_c
    )
    water.change_ph(ph)
    free, ionised = water.species["NH3"], water.species["NH4+"]

    fraction = emerson_fraction(ph=ph, temperature_c=temperature_c)

    # The rest is the activity of the ions at an ionic strength of about 1e-5.
    assert fraction == pytest.approx(free / (free + ionised), rel=0.004)


def test_total_scale_constant_agrees_with_pyco2sys() -> None:
    # Clegg & Whitfield 1995 eq. 18 is PyCO2SYS's default ammonia constant.
    waters = [(s, t) for s in (0.0, 5.0, 20.0, 35.0, 40.0) for t in (0.0, 10.0, 25.0, 35.0)]
    result = PyCO2SYS.sys(
        par1=8.1, par1_type=3, par2=2300, par2_type=1,
        salinity=[s for s, _ in waters], temperature=[t for _, t in waters], total_ammonia=1.0,
    )  # fmt: skip
    theirs = [-math.log10(constant) for constant in result["k_ammonia"]]

    ours = [clegg_whitfield_pk(temperature_c=t, salinity_g_kg=s) for s, t in waters]

    assert ours == pytest.approx(theirs, abs=2e-4)


def test_total_scale_constant_of_sea_water_is_the_published_one() -> None:
    # Also recalled by the Guide to Best Practices for Ocean CO2 Measurements (from memory).
    assert clegg_whitfield_pk(temperature_c=25, salinity_g_kg=35) == pytest.approx(9.2458, abs=2e-4)
    assert clegg_whitfield_pk(temperature_c=25, salinity_g_kg=0) == pytest.approx(9.2446, abs=2e-4)


# Bower & Bidwell (1978), J. Fish. Res. Board Can. 35:1012, % NH3 at S 32-40, as reprinted in
# two instrument sheets. Another fit of the same model, so it is held to 7 %, not to its digits.
@pytest.mark.parametrize(
    ("ph", "temperature_c", "percent"),
    [(8.0, 10, 1.44), (8.0, 25, 4.28), (8.2, 20, 4.65), (8.4, 25, 10.10), (7.5, 15, 0.665)],
)
def test_sea_water_on_nbs_is_near_bower_and_bidwell(
    ph: float, temperature_c: float, percent: float
) -> None:
    fraction = epa_1989_fraction(ph=ph, temperature_c=temperature_c, salinity_g_kg=34)

    assert 100 * fraction == pytest.approx(percent, rel=0.07)


def test_method_follows_salinity_and_ph_scale() -> None:
    fresh = unionised(ph=8.2, temperature_c=25, salinity_g_kg=0.5, ph_scale=PhScale.NBS)
    brackish = unionised(ph=8.2, temperature_c=25, salinity_g_kg=0.6, ph_scale=PhScale.NBS)
    total = unionised(ph=8.2, temperature_c=25, salinity_g_kg=35, ph_scale=PhScale.TOTAL)

    assert fresh.method == "Emerson et al. 1975"
    assert brackish.method == "US EPA 1989"
    assert total.method == "Clegg & Whitfield 1995"
    assert brackish.fraction == pytest.approx(fresh.fraction, rel=0.01)


def test_scale_consistent_methods_differ_by_about_an_eighth_and_it_is_said() -> None:
    on_nbs = unionised(ph=8.2, temperature_c=25, salinity_g_kg=35, ph_scale=PhScale.NBS)

    assert on_nbs.fraction == pytest.approx(0.0699, abs=1e-4)
    assert "-12%" in on_nbs.note


def test_mixing_up_the_scales_costs_a_third() -> None:
    # The trap: total-scale constant on an NBS reading lands on the fresh-water number.
    mixed_up = clegg_whitfield_fraction(ph_total=8.2, temperature_c=25, salinity_g_kg=35)
    fresh = emerson_fraction(ph=8.2, temperature_c=25)
    honest = clegg_whitfield_fraction(ph_total=8.2 - 0.137, temperature_c=25, salinity_g_kg=35)

    assert mixed_up == pytest.approx(fresh, rel=0.002)
    assert mixed_up / honest == pytest.approx(1.34, abs=0.02)


def test_uncertain_ph_makes_free_ammonia_uncertain() -> None:
    # First-order propagation worked by hand: 2.179 per pH, 0.0669 per kelvin at 25 °C, pH 8.
    uncertainty = relative_uncertainty(
        fraction=0.05366, temperature_c=25, ph_uncertainty=0.1,
        temperature_uncertainty_c=0.5, tan_relative_uncertainty=0.10,
    )  # fmt: skip

    assert uncertainty == pytest.approx(math.sqrt(0.2179**2 + 0.03345**2 + 0.01), abs=5e-4)


@given(
    ph=st.floats(min_value=5, max_value=10),
    temperature_c=st.floats(min_value=0, max_value=39),
    salinity_g_kg=st.floats(min_value=0, max_value=40),
    ph_scale=st.sampled_from(PhScale),
)
def test_more_alkaline_or_warmer_means_more_free_ammonia(
    ph: float, temperature_c: float, salinity_g_kg: float, ph_scale: PhScale
) -> None:
    here = _fraction(ph, temperature_c, salinity_g_kg, ph_scale)

    assert 0 < here < _fraction(ph + 0.1, temperature_c, salinity_g_kg, ph_scale) < 1
    assert here < _fraction(ph, temperature_c + 1, salinity_g_kg, ph_scale)


@given(
    tan_mg_l_n=st.floats(min_value=0, max_value=100),
    fraction=st.floats(min_value=0, max_value=1),
)
def test_the_free_part_never_exceeds_the_total(tan_mg_l_n: float, fraction: float) -> None:
    assert 0 <= unionised_mg_l_n(tan_mg_l_n=tan_mg_l_n, fraction=fraction) <= tan_mg_l_n


@pytest.mark.parametrize(
    ("ph", "temperature_c", "salinity_g_kg"),
    [(8, 50.1, 0), (8, -0.1, 0), (3.9, 25, 0), (11.1, 25, 0), (8, 40.1, 35), (8, 25, 40.1)],
)
def test_no_formula_is_stretched_beyond_its_range(
    ph: float, temperature_c: float, salinity_g_kg: float
) -> None:
    with pytest.raises(OutOfRange):
        unionised(
            ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, ph_scale=PhScale.NBS
        )


def test_bell_with_kelvin_would_be_caught() -> None:
    # Bell et al. (2008) take °C; coded with kelvin the constant falls below 1.
    celsius = 10.0423 - 0.0315536 * 25 + 0.003071 * 35
    kelvin = 10.0423 - 0.0315536 * 298.15 + 0.003071 * 35
    ours = epa_1989_pk(temperature_c=25, salinity_g_kg=35)

    assert ours == pytest.approx(celsius, abs=0.05)
    assert ours != pytest.approx(kelvin, abs=0.05)


def _fraction(ph: float, temperature_c: float, salinity_g_kg: float, scale: PhScale) -> float:
    return unionised(
        ph=ph, temperature_c=temperature_c, salinity_g_kg=salinity_g_kg, ph_scale=scale
    ).fraction
