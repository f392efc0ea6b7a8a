"""Mixing, salting, evaporating: salt and water are neither made nor lost."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.blending import (
    after_evaporation_g_kg,
    batch,
    batch_salinity_g_kg,
    mixed_level,
    mixed_salinity_g_kg,
    top_up_l,
)
from chemistry.dilution import Unreachable, salt_g
from chemistry.domain import OutOfRange
from chemistry.salinity import density_kg_l, salt_share

SALINITIES = st.floats(min_value=1, max_value=40)
VOLUMES = st.floats(min_value=1, max_value=1e5)
TEMPERATURES = st.floats(min_value=0, max_value=35)


def test_a_bucket_into_a_tank() -> None:
    # By hand: (40 x 90 + 0 x 10) / 100.
    assert mixed_level(level=40, volume_l=90, added_level=0, added_l=10) == pytest.approx(36)


@given(here=SALINITIES, added=SALINITIES, volume_l=VOLUMES, added_l=VOLUMES, celsius=TEMPERATURES)
def test_mixing_keeps_the_salt(
    here: float, added: float, volume_l: float, added_l: float, celsius: float
) -> None:
    mixed = mixed_salinity_g_kg(
        salinity_g_kg=here,
        volume_l=volume_l,
        added_g_kg=added,
        added_l=added_l,
        temperature_c=celsius,
    )
    here_kg = volume_l * density_kg_l(salinity_g_kg=here, temperature_c=celsius)
    added_kg = added_l * density_kg_l(salinity_g_kg=added, temperature_c=celsius)

    assert (here_kg + added_kg) * mixed == pytest.approx(here_kg * here + added_kg * added)
    assert min(here, added) - 1e-9 <= mixed <= max(here, added) + 1e-9


def test_topping_up_with_salt_water_for_ten_days() -> None:
    # The trade's worked case: 1 % a day replaced with 35 instead of fresh is 38.5 in ten days.
    salinity = 35.0
    for _ in range(10):
        left = after_evaporation_g_kg(
            volume_l=100.0, salinity_g_kg=salinity, evaporated_l=1.0, temperature_c=25.0
        )
        salinity = mixed_salinity_g_kg(
            salinity_g_kg=left, volume_l=99.0, added_g_kg=35.0, added_l=1.0, temperature_c=25.0
        )

    assert salinity == pytest.approx(38.5, abs=0.1)


@given(here=SALINITIES, volume_l=VOLUMES, share=st.floats(min_value=0, max_value=0.3))
def test_fresh_water_brings_back_what_evaporated(
    here: float, volume_l: float, share: float
) -> None:
    evaporated_l = share * volume_l
    saltier = after_evaporation_g_kg(
        volume_l=volume_l, salinity_g_kg=here, evaporated_l=evaporated_l, temperature_c=25.0
    )
    here_kg = volume_l * density_kg_l(salinity_g_kg=here, temperature_c=25.0)
    left_kg = here_kg - evaporated_l * density_kg_l(salinity_g_kg=0.0, temperature_c=25.0)
    left_l = left_kg / density_kg_l(salinity_g_kg=saltier, temperature_c=25.0)

    assert top_up_l(
        volume_l=left_l, salinity_g_kg=saltier, target_g_kg=here, temperature_c=25.0
    ) == pytest.approx(evaporated_l, abs=1e-6 * volume_l)


def test_fresh_water_does_not_lift_salinity() -> None:
    with pytest.raises(Unreachable, match="cannot lift"):
        top_up_l(volume_l=100.0, salinity_g_kg=30.0, target_g_kg=35.0, temperature_c=25.0)


@pytest.mark.parametrize("evaporated_l", [60.0, 95.0, 200.0])
def test_a_tank_left_as_brine_is_refused(evaporated_l: float) -> None:
    with pytest.raises(OutOfRange):
        after_evaporation_g_kg(
            volume_l=100.0, salinity_g_kg=35.0, evaporated_l=evaporated_l, temperature_c=25.0
        )


def test_a_hundred_litres_of_sea_water() -> None:
    # TEOS-10: 102.334 kg at 25 °C, of which 35.16504 g/kg are salt; EOS-80 prints 1023.343.
    mix = batch(volume_l=100, salinity_g_kg=35, temperature_c=25)

    assert mix.salt_g == pytest.approx(102.3343 * 35.16504, rel=1e-5)
    assert mix.fresh_l == pytest.approx((102.3343 - 3.5986) / 0.9970480, rel=1e-5)


def test_damp_mix_brings_its_own_water() -> None:
    dry = batch(volume_l=100, salinity_g_kg=35, temperature_c=25)
    damp = batch(volume_l=100, salinity_g_kg=35, temperature_c=25, purity=0.88)

    assert damp.salt_g == pytest.approx(dry.salt_g / 0.88)
    # 36 to 40 g of mix per litre is common practice, no source; a dry salt takes 36.
    assert 35.9 < dry.salt_g / 100 < damp.salt_g / 100 < 41
    assert dry.fresh_l > damp.fresh_l


@given(
    salinity_g_kg=st.floats(min_value=0, max_value=41.9),
    volume_l=VOLUMES,
    celsius=TEMPERATURES,
    purity=st.floats(min_value=0.6, max_value=1),
)
def test_a_batch_measures_what_it_was_made_for(
    salinity_g_kg: float, volume_l: float, celsius: float, purity: float
) -> None:
    mix = batch(
        volume_l=volume_l, salinity_g_kg=salinity_g_kg, temperature_c=celsius, purity=purity
    )

    assert batch_salinity_g_kg(
        salt_g=mix.salt_g, fresh_l=mix.fresh_l, temperature_c=celsius, purity=purity
    ) == pytest.approx(salinity_g_kg, abs=1e-9)


def test_a_batch_and_salting_fresh_water_agree() -> None:
    mix = batch(volume_l=100, salinity_g_kg=35, temperature_c=25)

    assert salt_g(
        volume_l=mix.fresh_l, salinity_g_kg=0, target_g_kg=35, temperature_c=25
    ) == pytest.approx(mix.salt_g)


def test_salt_as_wet_as_the_batch_is_refused() -> None:
    with pytest.raises(OutOfRange):
        batch(volume_l=100, salinity_g_kg=35, temperature_c=25, purity=0.03)


@given(
    start=SALINITIES,
    events=st.lists(
        st.tuples(st.sampled_from(["evaporate", "top up", "change", "dose"]), st.floats(0.01, 0.2)),
        max_size=12,
    ),
)
def test_salt_balances_through_any_sequence_of_events(
    start: float, events: list[tuple[str, float]]
) -> None:
    salinity, litres = start, 500.0
    expected_g = _salt_g(salinity, litres)
    for event, share in events:
        is_salting = event in {"dose", "evaporate"}
        act = _ACTS["change" if is_salting and salinity >= 35 else event]
        salinity, litres, gained_g = act(salinity, litres, share)
        expected_g += gained_g

    assert _salt_g(salinity, litres) == pytest.approx(expected_g, rel=1e-10)


def _dosed(salinity: float, litres: float, share: float) -> tuple[float, float, float]:
    """Return salinity and litres after the act, and the grams of salt gained; as all acts do."""
    target = salinity + 5 * share
    added_g = salt_g(
        volume_l=litres, salinity_g_kg=salinity, target_g_kg=target, temperature_c=25.0
    )
    return target, _litres(_kilograms(salinity, litres) + added_g / 1000, target), added_g


def _evaporated(salinity: float, litres: float, share: float) -> tuple[float, float, float]:
    left = after_evaporation_g_kg(
        volume_l=litres, salinity_g_kg=salinity, evaporated_l=share * litres, temperature_c=25.0
    )
    kilograms = _kilograms(salinity, litres) - _kilograms(0.0, share * litres)
    return left, _litres(kilograms, left), 0.0


def _topped_up(salinity: float, litres: float, share: float) -> tuple[float, float, float]:
    return *_poured(salinity, litres, 0.0, share * litres), 0.0


def _changed(salinity: float, litres: float, share: float) -> tuple[float, float, float]:
    drained_l = share * litres
    gained_g = _salt_g(20.0, drained_l) - _salt_g(salinity, drained_l)
    return *_poured(salinity, litres - drained_l, 20.0, drained_l), gained_g


def _poured(
    salinity: float, litres: float, added_g_kg: float, added_l: float
) -> tuple[float, float]:
    mixed = mixed_salinity_g_kg(
        salinity_g_kg=salinity,
        volume_l=litres,
        added_g_kg=added_g_kg,
        added_l=added_l,
        temperature_c=25.0,
    )
    return mixed, _litres(_kilograms(salinity, litres) + _kilograms(added_g_kg, added_l), mixed)


_ACTS = {"dose": _dosed, "evaporate": _evaporated, "top up": _topped_up, "change": _changed}


def test_many_buckets_at_once() -> None:
    mixed = mixed_salinity_g_kg(
        salinity_g_kg=np.array([35.0, 35.0]),
        volume_l=np.array([100.0, 100.0]),
        added_g_kg=np.array([0.0, 35.0]),
        added_l=np.array([100.0, 100.0]),
        temperature_c=np.array([25.0, 25.0]),
    )

    # Sea water is the heavier half, so the mixture is a little above 17.5.
    assert mixed == pytest.approx([17.73, 35.0], abs=0.01)


def _kilograms(salinity_g_kg: float, litres: float) -> float:
    return litres * density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=25.0)


def _litres(kilograms: float, salinity_g_kg: float) -> float:
    return kilograms / density_kg_l(salinity_g_kg=salinity_g_kg, temperature_c=25.0)


def _salt_g(salinity_g_kg: float, litres: float) -> float:
    return 1000 * _kilograms(salinity_g_kg, litres) * salt_share(salinity_g_kg)
