"""Litres from a tape measure: the less usual vessels."""

from collections.abc import Callable
from typing import Final

from chemistry.calculator.terms import Calculation, Choice, Option, Subject, Worked
from chemistry.calculator.volume import DEPTH, GEOMETRY, METER, OUTPUTS, in_all_units, length
from chemistry.shapes import (
    cone_frustum_l,
    ellipse_l,
    hexagon_across_corners_l,
    hexagon_across_flats_l,
    lying_cylinder_l,
    octagon_l,
    quarter_round_l,
)
from chemistry.volume import CM3_PER_L, hexagon_l

_FLOORS: Final[dict[str, Callable[[float, float], float]]] = {
    "hexagon by its side": lambda cm, depth: hexagon_l(side_cm=cm, depth_cm=depth),
    "hexagon across flats": lambda cm, depth: hexagon_across_flats_l(
        across_flats_cm=cm, depth_cm=depth
    ),
    "hexagon across corners": lambda cm, depth: hexagon_across_corners_l(
        across_corners_cm=cm, depth_cm=depth
    ),
    "octagon by its side": lambda cm, depth: octagon_l(side_cm=cm, depth_cm=depth),
    "quarter round by its radius": lambda cm, depth: quarter_round_l(radius_cm=cm, depth_cm=depth),
}


def _one_measure(*, shape: str, measure: float, depth: float) -> Worked:
    litres = _FLOORS[shape](measure, depth)
    floor_cm2 = litres * CM3_PER_L / depth
    return Worked(
        values=in_all_units(litres),
        working=(
            f"floor of a {shape} of {measure:.4g} cm = {floor_cm2:.6g} cm²",
            f"× {depth:.4g} cm / 1000 = {litres:.5g} L",
        ),
        method=shape,
    )


REGULAR: Final = Calculation(
    name="corner-and-polygon-volume",
    question="How much water does a hexagon, an octagon or a quarter round hold?",
    subject=Subject.VOLUME,
    asks=(
        Choice(
            name="shape",
            label="Shape and what was measured",
            options=tuple(Option(value=shape, label=shape) for shape in _FLOORS),
            example="hexagon across flats",
        ),
        length("measure", "That measure, inside", "50 cm"),
        DEPTH,
    ),
    outputs=OUTPUTS,
    formula=(
        "hexagon: 3√3/2 a², √3/2 F² across flats, 3√3/8 C² across corners\n"
        "octagon: 2 (1 + √2) a²; quarter round: π r²/4; litres = floor × depth / 1000"
    ),
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_one_measure,
    arguments=dict.fromkeys(
        ("side_cm", "across_flats_cm", "across_corners_cm", "radius_cm"), "measure"
    ),
)


def _ellipse(*, length: float, width: float, depth: float) -> Worked:
    litres = ellipse_l(length_cm=length, width_cm=width, depth_cm=depth)
    return Worked(
        values=in_all_units(litres),
        working=(f"π/4 × {length:.4g} × {width:.4g} × {depth:.4g} / 1000 = {litres:.5g} L",),
    )


ELLIPSE: Final = Calculation(
    name="ellipse-volume",
    question="How much water does an oval vessel hold?",
    subject=Subject.VOLUME,
    asks=(
        length("length", "Whole length inside", "100 cm"),
        length("width", "Whole width inside", "50 cm"),
        DEPTH,
    ),
    outputs=OUTPUTS,
    formula="L = π/4 × length × width × depth / 1000, in cm",
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_ellipse,
)


def _lying(*, diameter: float, length: float, depth: float) -> Worked:
    litres = lying_cylinder_l(diameter_cm=diameter, length_cm=length, depth_cm=depth)
    full = lying_cylinder_l(diameter_cm=diameter, length_cm=length, depth_cm=diameter)
    return Worked(
        values=in_all_units(litres),
        working=(
            f"filled to {depth:.4g} of {diameter:.4g} cm: {litres:.5g} L of {full:.5g} L when full",
        ),
    )


LYING: Final = Calculation(
    name="lying-cylinder-volume",
    question="How much water stands in a drum or pipe on its side?",
    subject=Subject.VOLUME,
    asks=(
        length("diameter", "Diameter inside", "60 cm"),
        length("length", "Length inside", "100 cm"),
        length("depth", "Depth of the water, or the diameter if full", "20 cm"),
    ),
    outputs=OUTPUTS,
    formula="L = length (r² acos((r − h)/r) − (r − h) √(2 r h − h²)) / 1000, in cm",
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_lying,
)


def _cone(*, top: float, bottom: float, depth: float) -> Worked:
    litres = cone_frustum_l(top_cm=top, bottom_cm=bottom, depth_cm=depth)
    return Worked(
        values=in_all_units(litres),
        working=(
            (
                f"π/12 × {depth:.4g} × ({top:.4g}² + {top:.4g} × {bottom:.4g} + {bottom:.4g}²) "
                f"/ 1000 = {litres:.5g} L"
            ),
        ),
    )


CONE: Final = Calculation(
    name="cone-volume",
    question="How much water does a tapering round vessel hold?",
    subject=Subject.VOLUME,
    asks=(
        length("top", "Diameter at the water line", "100 cm"),
        length("bottom", "Diameter at the floor", "80 cm"),
        DEPTH,
    ),
    outputs=OUTPUTS,
    formula="L = π/12 × depth × (D² + D d + d²) / 1000, in cm",
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_cone,
)

CALCULATIONS: Final = (REGULAR, ELLIPSE, LYING, CONE)
