"""Instruments that float and bend light, against printed tables and the trade's own traps."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.hydrometry import (
    CORRECTS_ITSELF,
    Instrument,
    Scale,
    bare_gravity,
    gravity_on,
    refractive_index,
    salinity_from_hydrometer,
    salinity_from_refractometer,
    salinity_on,
)
from chemistry.salinity import SIXTY_FAHRENHEIT_C


# Computed with gsw 3.6.23; EOS-80 (seawater 3.3.5) agrees for the middle row to 1e-4.
@pytest.mark.parametrize(
    ("salinity_g_kg", "printed"),
    [
        (16.0, (1.01227, 1.01215, 1.01204, 1.01140, 1.01036, 1.00907)),
        (35.0, (1.02686, 1.02661, 1.02637, 1.02600, 1.02479, 1.02337)),
        (40.0, (1.03072, 1.03043, 1.03017, 1.02986, 1.02861, 1.02715)),
    ],
)
def test_one_water_reads_differently_on_six_scales(
    salinity_g_kg: float, printed: tuple[float, ...]
) -> None:
    read = [gravity_on(salinity_g_kg=salinity_g_kg, scale=scale) for scale in Scale]

    assert read == pytest.approx(printed, abs=1.1e-5)


# Computed: what "1.025", "1.012" and "1.009" may mean, lowest and highest scale.
@pytest.mark.parametrize(
    ("gravity", "low", "high"),
    [(1.025, 32.58, 37.16), (1.012, 15.65, 19.90), (1.009, 11.73, 15.90)],
)
def test_a_bare_gravity_is_an_interval(gravity: float, low: float, high: float) -> None:
    meaning = bare_gravity(specific_gravity=gravity)

    assert (meaning.low_g_kg, meaning.high_g_kg) == pytest.approx((low, high), abs=0.01)
    assert len(meaning.by_scale) == len(Scale)


def test_a_scale_that_cannot_show_it_is_left_out() -> None:
    meaning = bare_gravity(specific_gravity=0.9975)

    assert [scale for scale, _ in meaning.by_scale] == [Scale.TWENTY_FIVE_FOUR]


def test_a_gravity_that_no_scale_shows_is_refused() -> None:
    with pytest.raises(OutOfRange, match="specific gravity"):
        bare_gravity(specific_gravity=1.0345)


def test_the_printed_correction_at_22_degrees() -> None:
    # Reprinted conversion table: a reading of 1.0230 at 22 °C takes +0.0016; its age and glass
    # are not said. Without the glass it comes out to the digit, with it 0.0002 lower.
    bare = salinity_from_hydrometer(
        reading=1.0230, water_c=22, scale=Scale.SIXTY_SIXTY_F, glass_per_c=0
    )
    with_glass = salinity_from_hydrometer(reading=1.0230, water_c=22, scale=Scale.SIXTY_SIXTY_F)

    at_60 = gravity_on(salinity_g_kg=bare, scale=Scale.SIXTY_SIXTY_F)
    assert at_60 - 1.0230 == pytest.approx(0.0016, abs=5e-5)
    assert 0 < bare - with_glass < 0.3


def test_a_cold_scale_in_a_warm_tank() -> None:
    # Computed: 60/60 °F glass at 1.0250 in 77 °F water is S 35.9, or 35.5 with the glass, and
    # not the 32.6 that is read off uncorrected.
    bare = salinity_from_hydrometer(
        reading=1.0250, water_c=25, scale=Scale.SIXTY_SIXTY_F, glass_per_c=0
    )
    with_glass = salinity_from_hydrometer(reading=1.0250, water_c=25, scale=Scale.SIXTY_SIXTY_F)
    uncorrected = salinity_on(specific_gravity=1.0250, scale=Scale.SIXTY_SIXTY_F)

    assert (bare, with_glass) == pytest.approx((35.86, 35.54), abs=0.01)
    assert bare - uncorrected > 3


@given(reading=st.floats(min_value=1.001, max_value=1.028), scale=st.sampled_from(Scale))
def test_at_its_own_temperature_an_instrument_needs_no_correction(
    reading: float, scale: Scale
) -> None:
    own_c = {"60": SIXTY_FAHRENHEIT_C, "20": 20.0, "25": 25.0, "15": 15.0}[scale[:2]]

    assert salinity_from_hydrometer(reading=reading, water_c=own_c, scale=scale) == pytest.approx(
        salinity_on(specific_gravity=reading, scale=scale)
    )


def test_pure_water_bends_sodium_light_as_the_handbook_says() -> None:
    # CRC Handbook (from memory, unverified): n of water at 20 °C, 589 nm, is 1.33299.
    assert refractive_index(salinity_g_kg=0.0, temperature_c=20.0) == pytest.approx(
        1.33299, abs=3e-5
    )


def test_sea_water_against_an_older_fit() -> None:
    # McNeil (1977, journal not checked), coefficients found in a public optics code:
    # n = 1.3247 - 2.5e-6 t² + S (2e-4 - 8e-7 t) + 3300/nm² - 3.2e7/nm⁴.
    nm, t, s = 589.3, 20.0, 35.0
    older = 1.3247 - 2.5e-6 * t**2 + s * (2e-4 - 8e-7 * t) + 3300 / nm**2 - 3.2e7 / nm**4

    assert refractive_index(salinity_g_kg=s, temperature_c=t) == pytest.approx(older, abs=3e-4)


def test_an_uncompensated_refractometer_reads_low_when_warm() -> None:
    assert salinity_from_refractometer(reading_g_kg=35, prism_c=20) == pytest.approx(35)
    assert salinity_from_refractometer(reading_g_kg=32, prism_c=25) == pytest.approx(35, abs=0.1)
    assert salinity_from_refractometer(reading_g_kg=35, prism_c=15) < 33


@given(
    salinity_g_kg=st.floats(min_value=5, max_value=35),
    prism_c=st.floats(min_value=10, max_value=30),
)
def test_the_light_that_was_bent_is_found_again(salinity_g_kg: float, prism_c: float) -> None:
    salinity = salinity_from_refractometer(reading_g_kg=salinity_g_kg, prism_c=prism_c)

    assert refractive_index(salinity_g_kg=salinity, temperature_c=prism_c) == pytest.approx(
        refractive_index(salinity_g_kg=salinity_g_kg, temperature_c=20.0), abs=1e-9
    )


@pytest.mark.parametrize("prism_c", [-1.0, 31.0])
def test_beyond_the_fit_is_refused(prism_c: float) -> None:
    with pytest.raises(OutOfRange, match="prism"):
        salinity_from_refractometer(reading_g_kg=30, prism_c=prism_c)


def test_every_instrument_says_whether_it_corrects_itself() -> None:
    assert set(CORRECTS_ITSELF) == set(Instrument)
    assert not CORRECTS_ITSELF[Instrument.GLASS_HYDROMETER]
