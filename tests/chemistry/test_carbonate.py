"""What holds of every carbonate system, whatever the water."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from chemistry.carbonate import (
    Carbonate,
    from_alkalinity_and_carbon,
    from_alkalinity_and_ph,
    from_alkalinity_and_pressure,
    from_carbon_and_pressure,
    from_ph_and_carbon,
    from_ph_and_pressure,
)
from chemistry.carbonate_constants import Constants, Water, names_of, notes_of
from chemistry.carbonate_ph import from_constants, is_interpolated, to_constants
from chemistry.domain import OutOfRange
from chemistry.ph_scales import PhScale

waters = st.builds(
    Water,
    temperature_c=st.floats(0, 40),
    salinity_g_kg=st.floats(0, 40),
    tan_mg_l_n=st.floats(0, 10),
)


def _numbers(state: Carbonate[float]) -> tuple[float, ...]:
    return (
        state.ph,
        state.alkalinity_meq_l,
        state.carbon_mmol_l,
        state.co2_mg_l,
        state.bicarbonate_mmol_l,
        state.carbonate_mmol_l,
        state.pco2_uatm,
    )


def _allowed(water: Water[float], meq_l: float, ph: float) -> Carbonate[float] | None:
    """Return the state, None where borate or hydroxide alone make more alkalinity than that."""
    try:
        return from_alkalinity_and_ph(water, alkalinity_meq_l=meq_l, ph=ph)
    except OutOfRange:
        return None


@given(water=waters, meq_l=st.floats(0, 50), ph=st.floats(4, 11))
def test_a_state_is_numbers_or_a_refusal(water: Water[float], meq_l: float, ph: float) -> None:
    state = _allowed(water, meq_l, ph)
    if state is None:
        return

    assert all(math.isfinite(number) for number in _numbers(state))
    assert min(_numbers(state)) > -1e-9
    assert all(type(number) is float for number in _numbers(state))


@given(water=waters, meq_l=st.floats(0.5, 6), ph=st.floats(6, 9))
def test_any_two_of_the_four_give_the_other_two(
    water: Water[float], meq_l: float, ph: float
) -> None:
    state = _allowed(water, meq_l, ph)
    assume(state is not None)
    assert state is not None
    assume(state.carbon_mmol_l > 0.05 and 1 < state.pco2_uatm < 400_000)
    again = [
        from_alkalinity_and_carbon(
            water, alkalinity_meq_l=meq_l, carbon_mmol_l=state.carbon_mmol_l
        ),
        from_alkalinity_and_pressure(water, alkalinity_meq_l=meq_l, pco2_uatm=state.pco2_uatm),
        from_ph_and_carbon(water, ph=ph, carbon_mmol_l=state.carbon_mmol_l),
        from_ph_and_pressure(water, ph=ph, pco2_uatm=state.pco2_uatm),
        from_carbon_and_pressure(
            water, carbon_mmol_l=state.carbon_mmol_l, pco2_uatm=state.pco2_uatm
        ),
    ]

    # Where alkalinity is not given, fresh water's ionic strength is estimated first.
    for one in again:
        assert one.ph == pytest.approx(ph, abs=0.005)
        assert one.alkalinity_meq_l == pytest.approx(meq_l, rel=0.01)
        assert one.carbon_mmol_l == pytest.approx(state.carbon_mmol_l, rel=0.01)


@given(water=waters, meq_l=st.floats(1, 6), carbon=st.floats(0.5, 6))
def test_alkalinity_raises_ph_and_carbon_lowers_it(
    water: Water[float], meq_l: float, carbon: float
) -> None:
    here = from_alkalinity_and_carbon(water, alkalinity_meq_l=meq_l, carbon_mmol_l=carbon).ph
    stronger = from_alkalinity_and_carbon(
        water, alkalinity_meq_l=meq_l + 0.2, carbon_mmol_l=carbon
    ).ph
    sourer = from_alkalinity_and_carbon(
        water, alkalinity_meq_l=meq_l, carbon_mmol_l=carbon + 0.2
    ).ph

    assert sourer < here < stronger


def test_an_array_of_all_kinds_is_each_water_by_itself() -> None:
    salinity = np.array([0.0, 0.9, 1.0, 10.0, 19.0, 35.0, 35.0])
    temperature_c = np.array([25.0, 10.0, 25.0, 5.0, 25.0, 1.0, 25.0])
    calcium = np.full(7, 60.0)
    together = from_alkalinity_and_carbon(
        Water(temperature_c=temperature_c, salinity_g_kg=salinity, calcium_mg_l=calcium),
        alkalinity_meq_l=np.full(7, 2.0),
        carbon_mmol_l=np.linspace(1.7, 2.1, 7),
    )
    apart = [
        from_alkalinity_and_carbon(
            Water(temperature_c=float(t), salinity_g_kg=float(s), calcium_mg_l=60.0),
            alkalinity_meq_l=2.0,
            carbon_mmol_l=float(c),
        )
        for t, s, c in zip(temperature_c, salinity, np.linspace(1.7, 2.1, 7), strict=True)
    ]

    assert together.ph == pytest.approx([one.ph for one in apart], abs=1e-12)
    assert together.omega_calcite == pytest.approx([one.omega_calcite for one in apart])
    assert names_of(together.water) == tuple(Constants)


def test_each_water_names_its_constants_and_what_is_stretched() -> None:
    def named(salinity_g_kg: float, temperature_c: float = 25.0) -> tuple[Constants, ...]:
        return names_of(Water(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg))

    assert named(0.99) == (Constants.FRESH,)
    assert (
        named(1.0) == named(18.9) == named(35.0, 1.9) == named(35.0, 36.0) == (Constants.BRACKISH,)
    )
    assert named(19.0) == named(35.0) == (Constants.SEA,)
    brackish = notes_of(Water(temperature_c=25.0, salinity_g_kg=3.0))
    assert any("Millero" in note for note in brackish)
    assert any("Boric" in note for note in brackish)


def test_fresh_and_brackish_constants_meet_within_a_tenth() -> None:
    # Two independent sets of measurements; at salinity 1 they differ by 10 % in CO2.
    below, above = (
        from_alkalinity_and_ph(
            water, alkalinity_meq_l=2.0, ph=to_constants(water, 8.0, scale=PhScale.NBS)
        ).co2_mg_l
        for water in (
            Water(temperature_c=25.0, salinity_g_kg=0.999),
            Water(temperature_c=25.0, salinity_g_kg=1.0),
        )
    )

    assert above == pytest.approx(below, rel=0.12)


@given(
    temperature_c=st.floats(0, 40),
    salinity_g_kg=st.floats(0, 40),
    ph=st.floats(5, 10),
    scale=st.sampled_from(PhScale),
)
def test_a_reading_goes_to_the_constants_scale_and_back(
    temperature_c: float, salinity_g_kg: float, ph: float, scale: PhScale
) -> None:
    water = Water(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg)
    counted = to_constants(water, ph, scale=scale)

    assert from_constants(water, counted, scale=scale) == pytest.approx(ph, abs=1e-12)
    assert abs(counted - ph) < 0.2
    if salinity_g_kg < 1:
        assert counted == ph


def test_only_a_brackish_nbs_reading_is_interpolated() -> None:
    brackish = Water(temperature_c=25.0, salinity_g_kg=8.0)
    sea = Water(temperature_c=25.0, salinity_g_kg=35.0)

    assert is_interpolated(brackish, scale=PhScale.NBS)
    assert not is_interpolated(brackish, scale=PhScale.TOTAL)
    assert not is_interpolated(sea, scale=PhScale.NBS)


@pytest.mark.parametrize(
    ("temperature_c", "salinity_g_kg", "meq_l", "ph", "says"),
    [
        (-0.1, 0.0, 2.0, 8.0, "temperature"),
        (25.0, 42.1, 2.0, 8.0, "salinity"),
        (25.0, 35.0, -0.1, 8.0, "alkalinity"),
        (25.0, 35.0, 2.0, 11.1, "pH"),
        (25.0, 0.0, 0.01, 10.5, "carbon"),  # hydroxide alone makes more alkalinity than that
    ],
)
def test_beyond_what_was_measured_is_refused(
    temperature_c: float, salinity_g_kg: float, meq_l: float, ph: float, says: str
) -> None:
    with pytest.raises(OutOfRange, match=says):
        from_alkalinity_and_ph(
            Water(temperature_c=temperature_c, salinity_g_kg=salinity_g_kg),
            alkalinity_meq_l=meq_l,
            ph=ph,
        )


def test_more_gas_than_carbon_is_refused() -> None:
    with pytest.raises(OutOfRange, match="carbon left"):
        from_carbon_and_pressure(
            Water(temperature_c=25.0, salinity_g_kg=0.0), carbon_mmol_l=0.01, pco2_uatm=4000.0
        )
