"""Litres by geometry: exact cases, half discs and definitions."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chemistry.domain import OutOfRange
from chemistry.volume import (
    bed_displacement_l,
    bow_front_l,
    box_l,
    cylinder_l,
    hexagon_l,
    imperial_gallons,
    net_l,
    porosity_by_filling,
    porosity_by_weight,
    rock_displacement_l,
    segment_cm2,
    us_gallons,
    volume_from_rise_l,
)


def test_a_four_foot_tank_is_the_trades_120_gallons() -> None:
    # 48 x 24 x 24 in; 231 cubic inches to the US gallon, by definition.
    volume = box_l(length_cm=48 * 2.54, width_cm=24 * 2.54, height_cm=24 * 2.54)

    assert us_gallons(volume_l=volume) == pytest.approx(48 * 24 * 24 / 231, rel=1e-9)


def test_glass_and_freeboard_take_an_eighth() -> None:
    # By hand: 118 x 58 x (50 - 1.2 - 3 + 10) cm.
    net = box_l(length_cm=120, width_cm=60, height_cm=57, glass_cm=1, base_cm=1.2, freeboard_cm=3)

    assert net == pytest.approx(118 * 58 * 52.8 / 1000)


def test_a_cylinder_of_six_feet_by_two() -> None:
    # pi x 3² x 2 cubic feet, 7.480519 US gallons each.
    volume = cylinder_l(diameter_cm=6 * 30.48, depth_cm=2 * 30.48)

    assert us_gallons(volume_l=volume) == pytest.approx(math.pi * 18 * 7.480519, rel=1e-6)


def test_the_deepest_bow_is_half_a_disc() -> None:
    assert segment_cm2(chord_cm=100, bow_cm=50) == pytest.approx(math.pi * 50**2 / 2)


def test_a_shallow_bow_follows_the_handbook_approximation() -> None:
    # Machinery handbooks: 2/3 c s + s³/(2 c), good to 0.1 % for shallow segments.
    assert segment_cm2(chord_cm=90, bow_cm=10) == pytest.approx(600 + 1000 / 180, rel=1e-3)
    assert segment_cm2(chord_cm=90, bow_cm=0) == 0


def test_a_bow_front_is_its_box_and_its_segment() -> None:
    volume = bow_front_l(length_cm=90, end_width_cm=35, centre_width_cm=45, depth_cm=50)

    assert volume == pytest.approx((90 * 35 + 605.885) * 50 / 1000, abs=1e-3)


def test_a_hexagon_is_six_triangles() -> None:
    triangle_cm2 = 30 * 30 * math.sin(math.radians(60)) / 2

    assert hexagon_l(side_cm=30, depth_cm=60) == pytest.approx(6 * triangle_cm2 * 60 / 1000)


def test_gallons_are_their_definitions() -> None:
    assert us_gallons(volume_l=3.785411784) == pytest.approx(1)
    assert imperial_gallons(volume_l=4.54609) == pytest.approx(1)


def test_the_worked_tank_of_the_trade() -> None:
    # 60 x 30 x 30 cm, 6 mm glass, water 3 cm down, 4 cm of gravel 60 % solid, 2 L of decor:
    # 54 L nominal are 38.6 L net.
    filled = box_l(
        length_cm=60, width_cm=30, height_cm=30, glass_cm=0.6, base_cm=0.6, freeboard_cm=3
    )
    gravel = bed_displacement_l(length_cm=58.8, width_cm=28.8, depth_cm=4, porosity=0.4)

    assert net_l(gross_l=filled, displaced_l=gravel + 2) == pytest.approx(38.6, abs=0.1)


def test_a_box_of_the_table() -> None:
    # Computed: 120 x 50 x 60 cm, glass 1.0, base 1.2, freeboard 3: 316.051 L; brim-full 333.043.
    filled = box_l(
        length_cm=120, width_cm=50, height_cm=60, glass_cm=1.0, base_cm=1.2, freeboard_cm=3
    )
    brim = box_l(length_cm=120, width_cm=50, height_cm=60, glass_cm=1.0, base_cm=1.2)

    assert (filled, brim) == pytest.approx((316.051, 333.043), abs=1e-3)


def test_pores_by_pouring_and_by_weighing_agree() -> None:
    # Quartz sand of 1.6 kg/L bulk, 2.65 grains: 39.6 % pores, so 10 L of it take 3.96 L.
    by_weight = porosity_by_weight(bulk_kg_l=1.6, particle_kg_l=2.65)

    assert by_weight == pytest.approx(0.396, abs=5e-4)
    assert porosity_by_filling(water_l=3.96, bed_l=10) == pytest.approx(by_weight, abs=5e-4)


def test_a_bed_cannot_drink_more_than_itself_or_outweigh_its_grains() -> None:
    with pytest.raises(OutOfRange, match="water poured"):
        porosity_by_filling(water_l=11, bed_l=10)
    with pytest.raises(OutOfRange, match="weight of a litre"):
        porosity_by_weight(bulk_kg_l=2.7, particle_kg_l=2.65)


@given(
    volume_l=st.floats(min_value=1, max_value=1e5), rise=st.floats(min_value=0.01, max_value=100)
)
def test_a_volume_is_found_by_what_a_dose_did(volume_l: float, rise: float) -> None:
    assert volume_from_rise_l(added_g=volume_l * rise / 1000, rise_mg_l=rise) == pytest.approx(
        volume_l
    )


def test_sand_displaces_its_grains_and_not_its_pores() -> None:
    # Quartz 2.65 kg/L packed to 1.6 kg/L: 22 L of bed are 22 x 1.6 / 2.65 L of grains.
    displaced = bed_displacement_l(length_cm=110, width_cm=40, depth_cm=5, porosity=1 - 1.6 / 2.65)

    assert displaced == pytest.approx(22 * 1.6 / 2.65)


def test_rock_displaces_its_weight_over_its_density() -> None:
    # Calcite, 2.71 kg/L (phreeqc.dat).
    assert rock_displacement_l(mass_kg=20, density_kg_l=2.71) == pytest.approx(7.38, abs=0.01)


def test_net_is_what_is_left() -> None:
    assert net_l(gross_l=316, displaced_l=20.6) == pytest.approx(295.4)


@pytest.mark.parametrize("displaced_l", [-1.0, 316.0, 400.0])
def test_a_vessel_cannot_be_filled_with_stones_alone(displaced_l: float) -> None:
    with pytest.raises(OutOfRange, match="displaced volume"):
        net_l(gross_l=316, displaced_l=displaced_l)


def test_impossible_shapes_are_refused() -> None:
    with pytest.raises(OutOfRange):
        box_l(length_cm=30, width_cm=30, height_cm=30, freeboard_cm=30)
    with pytest.raises(OutOfRange):
        box_l(length_cm=30, width_cm=1.5, height_cm=30, glass_cm=1)
    with pytest.raises(OutOfRange, match="half the length"):
        bow_front_l(length_cm=60, end_width_cm=30, centre_width_cm=61, depth_cm=40)
    with pytest.raises(OutOfRange, match="bow"):
        bow_front_l(length_cm=60, end_width_cm=30, centre_width_cm=29, depth_cm=40)


@given(
    chord_cm=st.floats(min_value=10, max_value=300), share=st.floats(min_value=0.01, max_value=0.49)
)
def test_a_segment_is_more_than_its_triangle_and_less_than_its_box(
    chord_cm: float, share: float
) -> None:
    bow_cm = share * chord_cm
    area_cm2 = segment_cm2(chord_cm=chord_cm, bow_cm=bow_cm)

    assert chord_cm * bow_cm / 2 < area_cm2 < chord_cm * bow_cm
