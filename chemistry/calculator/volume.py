"""Litres from a tape measure: the usual vessels."""

from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.volume import (
    CM3_PER_L,
    LENGTH,
    THICKNESS,
    bow_front_l,
    box_l,
    cylinder_l,
    imperial_gallons,
    segment_cm2,
    us_gallons,
)

_LENGTH_UNITS: Final = ("cm", "m", "mm", "in", "ft")
GEOMETRY: Final = Source(text="plane and solid geometry", mark="computed")
METER: Final = "A metered fill beats any tape; doses go by net volume, without rock and sand."
OUTPUTS: Final = (
    Output(name="litres", label="Volume", unit="L", figures=4),
    Output(name="us_gallons", label="in US gallons", unit="gal_us", figures=4),
    Output(name="imperial_gallons", label="in imperial gallons", unit="gal_imp", figures=4),
)


def length(name: str, label: str, example: str, *, default: str = "", hint: str = "") -> Input:
    """Return an ask for a length; what has a default may be nothing at all."""
    return Input(
        name=name,
        label=label,
        unit="cm",
        units=_LENGTH_UNITS,
        accepted=THICKNESS if default else LENGTH,
        needs_unit=True,
        doubt=Doubt(absolute=0.05 if default else 0.5),
        default=default,
        example=example,
        hint=hint,
    )


def in_all_units(litres: float) -> dict[str, float]:
    return {
        "litres": litres,
        "us_gallons": us_gallons(volume_l=litres),
        "imperial_gallons": imperial_gallons(volume_l=litres),
    }


DEPTH: Final = length("depth", "Depth of the water", "50 cm")


def _box(
    *, length: float, width: float, height: float, glass: float, base: float, freeboard: float
) -> Worked:
    litres = box_l(
        length_cm=length,
        width_cm=width,
        height_cm=height,
        glass_cm=glass,
        base_cm=base,
        freeboard_cm=freeboard,
    )
    nominal = length * width * height / CM3_PER_L
    return Worked(
        values=in_all_units(litres) | {"share": 100 * litres / nominal},
        working=(
            (
                f"({length:.4g} − 2 × {glass:.3g}) × ({width:.4g} − 2 × {glass:.3g}) × "
                f"({height:.4g} − {base:.3g} − {freeboard:.3g}) cm³ / 1000 = {litres:.5g} L"
            ),
            f"outside it measures {nominal:.5g} L",
        ),
        notes=() if glass else ("With no thickness given, inside measures are understood.",),
    )


BOX: Final = Calculation(
    name="box-volume",
    question="How much water does a box of these outside measures hold?",
    subject=Subject.VOLUME,
    asks=(
        length("length", "Length outside", "120 cm"),
        length("width", "Width outside", "50 cm"),
        length("height", "Height outside", "60 cm"),
        length("glass", "Thickness of a wall", "1.0 cm", default="0 cm"),
        length("base", "Thickness of the bottom", "1.2 cm", default="0 cm"),
        length("freeboard", "Water line below the rim", "3 cm", default="0 cm"),
    ),
    outputs=(*OUTPUTS, Output(name="share", label="of the nominal volume", unit="%")),
    formula="L = (length − 2 g) × (width − 2 g) × (height − base − freeboard) / 1000, in cm",
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_box,
)


def _round(*, diameter: float, depth: float) -> Worked:
    litres = cylinder_l(diameter_cm=diameter, depth_cm=depth)
    return Worked(
        values=in_all_units(litres),
        working=(f"π × ({diameter:.4g}/2)² × {depth:.4g} / 1000 = {litres:.5g} L",),
    )


ROUND: Final = Calculation(
    name="round-volume",
    question="How much water does an upright round vessel hold?",
    subject=Subject.VOLUME,
    asks=(length("diameter", "Diameter inside", "80 cm"), DEPTH),
    outputs=OUTPUTS,
    formula="L = π (diameter/2)² × depth / 1000, in cm",
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_round,
)


def _bow(*, length: float, end: float, centre: float, depth: float) -> Worked:
    litres = bow_front_l(length_cm=length, end_width_cm=end, centre_width_cm=centre, depth_cm=depth)
    bow = segment_cm2(chord_cm=length, bow_cm=centre - end)
    return Worked(
        values=in_all_units(litres),
        working=(
            (
                f"floor = {length:.4g} × {end:.4g} + {bow:.5g} for the bow = "
                f"{length * end + bow:.6g} cm²"
            ),
            f"× {depth:.4g} cm / 1000 = {litres:.5g} L",
        ),
    )


BOW_FRONT: Final = Calculation(
    name="bow-front-volume",
    question="How much water does a tank with a curved front hold?",
    subject=Subject.VOLUME,
    asks=(
        length("length", "Length inside", "90 cm"),
        length("end", "Width at the ends inside", "35 cm"),
        length("centre", "Width at the middle inside", "45 cm"),
        DEPTH,
    ),
    outputs=OUTPUTS,
    formula=(
        "floor = length × end + R² (θ − sin θ)/2, bow s = centre − end\n"
        "R = (length²/4 + s²)/(2 s), θ = 2 asin(length/(2 R))"
    ),
    sources=(GEOMETRY,),
    cautions=(METER,),
    solve=_bow,
    arguments={"end_width_cm": "end", "centre_width_cm": "centre"},
)

CALCULATIONS: Final = (BOX, ROUND, BOW_FRONT)
