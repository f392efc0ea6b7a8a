"""Further shapes: geometry worked another way, and scipy's integrals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from chemistry.domain import OutOfRange
from chemistry.shapes import (
    cone_frustum_l,
    ellipse_l,
    hexagon_across_corners_l,
    hexagon_across_flats_l,
    lying_cylinder_l,
    octagon_l,
    quarter_round_l,
)
from chemistry.volume import cylinder_l, hexagon_l

LENGTHS = st.floats(min_value=1, max_value=500)


def test_areas_of_the_handbook() -> None:
    # Computed in another program: octagon of side 20, 1931.371 cm²; hexagon 50 across flats,
    # 2165.064; hexagon 60 across corners, 2338.269.
    litre_cm = 1000.0

    assert octagon_l(side_cm=20.0, depth_cm=litre_cm) == pytest.approx(1931.371, abs=1e-3)
    assert hexagon_across_flats_l(across_flats_cm=50.0, depth_cm=litre_cm) == pytest.approx(
        2165.064, abs=1e-3
    )
    assert hexagon_across_corners_l(across_corners_cm=60.0, depth_cm=litre_cm) == pytest.approx(
        2338.269, abs=1e-3
    )


def test_an_octagon_is_its_square_less_four_corners() -> None:
    corner = 20 / math.sqrt(2)
    square = (20 + 2 * corner) ** 2

    assert octagon_l(side_cm=20.0, depth_cm=1000.0) == pytest.approx(square - 2 * corner**2)


@given(side=LENGTHS)
def test_a_hexagon_is_one_hexagon_however_it_is_measured(side: float) -> None:
    by_side = hexagon_l(side_cm=side, depth_cm=50.0)

    assert hexagon_across_flats_l(
        across_flats_cm=side * math.sqrt(3), depth_cm=50.0
    ) == pytest.approx(by_side)
    assert hexagon_across_corners_l(across_corners_cm=2 * side, depth_cm=50.0) == pytest.approx(
        by_side
    )


def test_a_quarter_round_and_an_ellipse() -> None:
    # By hand: pi 60² 50 / 4 and pi 50 25 40.
    assert quarter_round_l(radius_cm=60.0, depth_cm=50.0) == pytest.approx(141.372, abs=1e-3)
    assert ellipse_l(length_cm=100.0, width_cm=50.0, depth_cm=40.0) == pytest.approx(
        157.080, abs=1e-3
    )


@given(diameter=LENGTHS)
def test_a_round_ellipse_is_a_cylinder(diameter: float) -> None:
    assert ellipse_l(length_cm=diameter, width_cm=diameter, depth_cm=40.0) == pytest.approx(
        cylinder_l(diameter_cm=diameter, depth_cm=40.0)
    )


def test_a_drum_on_its_side() -> None:
    # Computed: radius 30, depth 20, length 100: 82.502 L.
    assert lying_cylinder_l(diameter_cm=60.0, length_cm=100.0, depth_cm=20.0) == pytest.approx(
        82.502, abs=1e-3
    )


@given(diameter=LENGTHS, share=st.floats(min_value=0, max_value=1))
def test_a_drum_is_what_scipy_integrates(diameter: float, share: float) -> None:
    # scipy 1.17.1: the width of the water at every height, summed.
    radius, depth = diameter / 2, share * diameter
    area, _ = quad(lambda h: 2 * math.sqrt(max(radius**2 - (h - radius) ** 2, 0.0)), 0, depth)

    assert lying_cylinder_l(diameter_cm=diameter, length_cm=100.0, depth_cm=depth) == pytest.approx(
        area * 100 / 1000, rel=1e-4, abs=1e-4
    )


def test_a_drum_full_half_and_empty() -> None:
    whole = cylinder_l(diameter_cm=60.0, depth_cm=100.0)
    filled = lying_cylinder_l(
        diameter_cm=np.full(3, 60.0), length_cm=np.full(3, 100.0), depth_cm=np.array([0.0, 30, 60])
    )

    assert filled == pytest.approx([0, whole / 2, whole])


@pytest.mark.parametrize("depth_cm", [-1.0, 60.1])
def test_water_above_the_drum_is_refused(depth_cm: float) -> None:
    with pytest.raises(OutOfRange, match="share of the diameter"):
        lying_cylinder_l(diameter_cm=60.0, length_cm=100.0, depth_cm=depth_cm)


def test_a_tapering_bucket() -> None:
    # Computed: radii 50 and 40, depth 60: 383.274 L.
    assert cone_frustum_l(top_cm=100.0, bottom_cm=80.0, depth_cm=60.0) == pytest.approx(
        383.274, abs=1e-3
    )


@given(top=LENGTHS, bottom=LENGTHS)
def test_a_frustum_lies_between_its_cylinders(top: float, bottom: float) -> None:
    inside, outside = (cylinder_l(diameter_cm=d, depth_cm=60.0) for d in sorted((top, bottom)))
    litres = cone_frustum_l(top_cm=top, bottom_cm=bottom, depth_cm=60.0)

    assert inside * (1 - 1e-12) <= litres <= outside * (1 + 1e-12)
