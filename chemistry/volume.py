"""Litres of a vessel from a tape measure, and what stands in the water.

Plane and solid geometry; lengths in cm. Shapes take the *outside* of a glass box and the
*inside* of everything else, with the depth of water. A metered fill beats all of this.
"""

import math
from typing import Final

from chemistry.constants import IMPERIAL_GALLON_L, US_GALLON_L
from chemistry.domain import SHARE, OutOfRange, Range, within

LENGTH: Final = Range(name="length", unit="cm", low=0.1, high=100_000.0)
THICKNESS: Final = Range(name="thickness or freeboard", unit="cm", low=0.0, high=1000.0)
MASS: Final = Range(name="mass of rock", unit="kg", low=0.0, high=1e6)
ROCK_DENSITY: Final = Range(name="density of rock", unit="kg/L", low=0.3, high=6.0)

CM3_PER_L: Final = 1000.0


def box_l(
    *,
    length_cm: float,
    width_cm: float,
    height_cm: float,
    glass_cm: float = 0.0,
    base_cm: float = 0.0,
    freeboard_cm: float = 0.0,
) -> float:
    """Return litres in a box of these outside measures, filled to ``freeboard_cm`` below the rim.

    ``glass_cm`` is one wall, ``base_cm`` the bottom; leave them 0 for inside measures.
    """
    within(LENGTH, length_cm=length_cm, width_cm=width_cm, height_cm=height_cm)
    within(THICKNESS, glass_cm=glass_cm, base_cm=base_cm, freeboard_cm=freeboard_cm)
    inside_length_cm = length_cm - 2 * glass_cm
    inside_width_cm = width_cm - 2 * glass_cm
    depth_cm = height_cm - base_cm - freeboard_cm
    within(LENGTH, length_cm=inside_length_cm, width_cm=inside_width_cm, height_cm=depth_cm)
    return inside_length_cm * inside_width_cm * depth_cm / CM3_PER_L


def cylinder_l(*, diameter_cm: float, depth_cm: float) -> float:
    """Return litres in an upright cylinder."""
    within(LENGTH, diameter_cm=diameter_cm, depth_cm=depth_cm)
    return math.pi * (diameter_cm / 2) ** 2 * depth_cm / CM3_PER_L


def bow_front_l(
    *, length_cm: float, end_width_cm: float, centre_width_cm: float, depth_cm: float
) -> float:
    """Return litres in a box whose front is an arc from one end to the other.

    Raises:
        OutOfRange: the bow is negative or deeper than half the length (not an arc any more).
    """
    within(LENGTH, length_cm=length_cm, end_width_cm=end_width_cm, depth_cm=depth_cm)
    bow_cm = centre_width_cm - end_width_cm
    area_cm2 = length_cm * end_width_cm + segment_cm2(chord_cm=length_cm, bow_cm=bow_cm)
    return area_cm2 * depth_cm / CM3_PER_L


def segment_cm2(*, chord_cm: float, bow_cm: float) -> float:
    """Return the area between a chord and its arc, which stands ``bow_cm`` out at the middle."""
    within(LENGTH, chord_cm=chord_cm)
    within(_bow_of(chord_cm), centre_width_cm=bow_cm)
    if bow_cm == 0:
        return 0.0
    radius_cm = (chord_cm**2 / 4 + bow_cm**2) / (2 * bow_cm)
    angle = 2 * math.asin(min(1.0, chord_cm / (2 * radius_cm)))
    return radius_cm**2 * (angle - math.sin(angle)) / 2


def hexagon_l(*, side_cm: float, depth_cm: float) -> float:
    """Return litres in an upright regular hexagon."""
    within(LENGTH, side_cm=side_cm, depth_cm=depth_cm)
    return 3 * math.sqrt(3) / 2 * side_cm**2 * depth_cm / CM3_PER_L


def bed_displacement_l(
    *, length_cm: float, width_cm: float, depth_cm: float, porosity: float
) -> float:
    """Return litres a bed of gravel or sand takes away; the water in its pores stays counted.

    Porosity of wet-packed sand runs from 0.28 (poorly sorted) to 0.42 (extremely well
    sorted): Beard & Weyl (1973), AAPG Bull. 57:349.
    """
    within(SHARE, porosity=porosity)
    bed_l = box_l(length_cm=length_cm, width_cm=width_cm, height_cm=depth_cm)
    return bed_l * (1 - porosity)


def rock_displacement_l(*, mass_kg: float, density_kg_l: float) -> float:
    """Return litres rock takes away: its mineral density if its pores fill, else a lump's own."""
    within(MASS, mass_kg=mass_kg)
    within(ROCK_DENSITY, density_kg_l=density_kg_l)
    return mass_kg / density_kg_l


def net_l(*, gross_l: float, displaced_l: float) -> float:
    """Return what is left for water.

    Raises:
        OutOfRange: more is displaced than the vessel holds.
    """
    accepted = Range(name="displaced volume", unit="L", low=0.0, high=gross_l)
    if displaced_l not in accepted or displaced_l == gross_l:
        raise OutOfRange(accepted, field="displaced_l", value=displaced_l)
    return gross_l - displaced_l


def us_gallons(*, volume_l: float) -> float:
    return volume_l / US_GALLON_L


def imperial_gallons(*, volume_l: float) -> float:
    return volume_l / IMPERIAL_GALLON_L


def _bow_of(chord_cm: float) -> Range:
    return Range(
        name="bow of the front",
        unit="cm",
        low=0.0,
        high=chord_cm / 2,
        source="at most half the length",
    )
