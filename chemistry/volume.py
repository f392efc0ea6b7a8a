"""Litres of a vessel from a tape measure, and what stands in the water.

Plane and solid geometry; lengths in cm. Shapes take the *outside* of a glass box and the
*inside* of everything else, with the depth of water; further shapes stand in ``shapes``. A
metered fill beats all of this.
"""

import math
from typing import Final

from chemistry.constants import IMPERIAL_GALLON_L, US_GALLON_L
from chemistry.domain import CONCENTRATION, GRAMS, LITRES, SHARE, Number, OutOfRange, Range, within

LENGTH: Final = Range(name="length", unit="cm", low=0.1, high=100_000.0)
THICKNESS: Final = Range(name="thickness or freeboard", unit="cm", low=0.0, high=1000.0)
MASS: Final = Range(name="mass of rock", unit="kg", low=0.0, high=1e6)
ROCK_DENSITY: Final = Range(name="density of rock", unit="kg/L", low=0.3, high=6.0)
BED: Final = Range(name="volume of the bed", unit="L", low=0.01, high=1e6)
RISE: Final = Range(name="rise measured", unit="mg/L", low=0.001, high=CONCENTRATION.high)

CM3_PER_L: Final = 1000.0


def box_l(
    *,
    length_cm: Number,
    width_cm: Number,
    height_cm: Number,
    glass_cm: float = 0.0,
    base_cm: float = 0.0,
    freeboard_cm: float = 0.0,
) -> Number:
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


def cylinder_l(*, diameter_cm: Number, depth_cm: Number) -> Number:
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


def hexagon_l(*, side_cm: Number, depth_cm: Number) -> Number:
    """Return litres in an upright regular hexagon."""
    within(LENGTH, side_cm=side_cm, depth_cm=depth_cm)
    return 3 * math.sqrt(3) / 2 * side_cm**2 * depth_cm / CM3_PER_L


def bed_displacement_l(
    *, length_cm: Number, width_cm: Number, depth_cm: Number, porosity: Number
) -> Number:
    """Return litres a bed of gravel or sand takes away; the water in its pores stays counted.

    Porosity of wet-packed sand runs from 0.28 (poorly sorted) to 0.42 (extremely well
    sorted): Beard & Weyl (1973), AAPG Bull. 57:349.
    """
    within(SHARE, porosity=porosity)
    bed_l = box_l(length_cm=length_cm, width_cm=width_cm, height_cm=depth_cm)
    return bed_l * (1 - porosity)


def porosity_by_filling(*, water_l: float, bed_l: float) -> float:
    """Return the pores of a bed from the water that fills it, dry, exactly to its surface.

    Raises:
        OutOfRange: more water than bed.
    """
    within(BED, bed_l=bed_l)
    within(Range(name="water poured", unit="L", low=0.0, high=bed_l), water_l=water_l)
    return water_l / bed_l


def porosity_by_weight(*, bulk_kg_l: float, particle_kg_l: float) -> float:
    """Return the pores of a bed from the weight of a level litre of it, dry.

    Quartz is 2.65 kg/L, calcite 2.71, aragonite 2.93; beach sand lies at 1.5 to 1.8.

    Raises:
        OutOfRange: the litre weighs more than its grains could.
    """
    within(ROCK_DENSITY, particle_kg_l=particle_kg_l)
    bulk = Range(name="weight of a litre of bed", unit="kg/L", low=0.1, high=particle_kg_l)
    within(bulk, bulk_kg_l=bulk_kg_l)
    return 1 - bulk_kg_l / particle_kg_l


def volume_from_rise_l(*, added_g: Number, rise_mg_l: Number) -> Number:
    """Return the net volume in which so many grams made so high a rise, once mixed.

    ``added_g`` is of what the test counts. The volume is as uncertain as the rise measured:
    two tests of ±5 % leave ±7 %; a metered fill is better.
    """
    within(GRAMS, added_g=added_g)
    within(RISE, rise_mg_l=rise_mg_l)
    volume_l = added_g * 1000 / rise_mg_l
    within(LITRES, added_g=volume_l)
    return volume_l


def rock_displacement_l(*, mass_kg: Number, density_kg_l: Number) -> Number:
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


def us_gallons(*, volume_l: Number) -> Number:
    return volume_l / US_GALLON_L


def imperial_gallons(*, volume_l: Number) -> Number:
    return volume_l / IMPERIAL_GALLON_L


def _bow_of(chord_cm: float) -> Range:
    return Range(
        name="bow of the front",
        unit="cm",
        low=0.0,
        high=chord_cm / 2,
        source="at most half the length",
    )
