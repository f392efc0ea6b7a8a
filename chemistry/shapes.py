"""Litres in the less usual shapes; inside measures in cm, filled to a depth. Plane geometry."""

from typing import Final

import numpy as np

from chemistry.domain import Number, OutOfRange, Range, plain, within
from chemistry.volume import CM3_PER_L, LENGTH

FILLED: Final = Range(name="depth as a share of the diameter", unit="", low=0.0, high=1.0)


def hexagon_across_flats_l(*, across_flats_cm: Number, depth_cm: Number) -> Number:
    """Return litres in an upright regular hexagon measured from side to opposite side."""
    within(LENGTH, across_flats_cm=across_flats_cm, depth_cm=depth_cm)
    return 3**0.5 / 2 * across_flats_cm**2 * depth_cm / CM3_PER_L


def hexagon_across_corners_l(*, across_corners_cm: Number, depth_cm: Number) -> Number:
    """Return litres in an upright regular hexagon measured from corner to opposite corner."""
    within(LENGTH, across_corners_cm=across_corners_cm, depth_cm=depth_cm)
    return 3 * 3**0.5 / 8 * across_corners_cm**2 * depth_cm / CM3_PER_L


def octagon_l(*, side_cm: Number, depth_cm: Number) -> Number:
    """Return litres in an upright regular octagon."""
    within(LENGTH, side_cm=side_cm, depth_cm=depth_cm)
    return 2 * (1 + 2**0.5) * side_cm**2 * depth_cm / CM3_PER_L


def quarter_round_l(*, radius_cm: Number, depth_cm: Number) -> Number:
    """Return litres in a corner tank whose front is a quarter of a circle."""
    within(LENGTH, radius_cm=radius_cm, depth_cm=depth_cm)
    return np.pi / 4 * radius_cm**2 * depth_cm / CM3_PER_L


def ellipse_l(*, length_cm: Number, width_cm: Number, depth_cm: Number) -> Number:
    """Return litres in an upright ellipse; length and width are whole, not half."""
    within(LENGTH, length_cm=length_cm, width_cm=width_cm, depth_cm=depth_cm)
    return np.pi / 4 * length_cm * width_cm * depth_cm / CM3_PER_L


def lying_cylinder_l(*, diameter_cm: Number, length_cm: Number, depth_cm: Number) -> Number:
    """Return litres in a cylinder on its side: a drum, or a pipe when it is full.

    Raises:
        OutOfRange: the water stands higher than the cylinder.
    """
    within(LENGTH, diameter_cm=diameter_cm, length_cm=length_cm)
    outside = FILLED.first_outside(depth_cm / diameter_cm)
    if outside is not None:
        raise OutOfRange(FILLED, field="depth_cm", value=outside)
    radius = diameter_cm / 2
    above = radius - depth_cm
    angle: Number = np.arccos(above / radius)
    half_chord: Number = np.sqrt(radius**2 - above**2)
    area_cm2 = radius**2 * plain(angle) - above * plain(half_chord)
    return length_cm * area_cm2 / CM3_PER_L


def cone_frustum_l(*, top_cm: Number, bottom_cm: Number, depth_cm: Number) -> Number:
    """Return litres in a tapering round vessel from its diameters at water line and floor."""
    within(LENGTH, top_cm=top_cm, bottom_cm=bottom_cm, depth_cm=depth_cm)
    squares = top_cm**2 + top_cm * bottom_cm + bottom_cm**2
    return np.pi / 12 * depth_cm * squares / CM3_PER_L
