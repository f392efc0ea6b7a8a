"""What stands in the water, and the net volume by what a dose did."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import VOLUME, VOLUME_UNITS, WEIGHT_UNITS
from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.calculator.volume import GEOMETRY, METER, OUTPUTS, in_all_units, length
from chemistry.domain import GRAMS, SHARE
from chemistry.volume import (
    BED,
    MASS,
    RISE,
    ROCK_DENSITY,
    bed_displacement_l,
    net_l,
    porosity_by_filling,
    porosity_by_weight,
    rock_displacement_l,
    volume_from_rise_l,
)

_PORES: Final = Input(
    name="pores",
    label="Pores of the bed",
    unit="",
    units=("", "%"),
    accepted=SHARE,
    doubt=Doubt(absolute=0.05),
    default="0.4",
    example="0.4",
    hint="Sand 0.28 to 0.42, coarse gravel about 0.3; measure it with bed-pores.",
)


def _net(
    *,
    gross: float,
    length: float,
    width: float,
    depth: float,
    pores: float,
    rock: float,
    density: float,
) -> Worked:
    bed = 0.0
    if min(length, width, depth) > 0:
        bed = bed_displacement_l(length_cm=length, width_cm=width, depth_cm=depth, porosity=pores)
    stones = rock_displacement_l(mass_kg=rock, density_kg_l=density)
    net = net_l(gross_l=gross, displaced_l=bed + stones)
    return Worked(
        values={"net": net, "bed": bed, "rock": stones},
        working=(
            (
                f"bed: {length:.4g} × {width:.4g} × {depth:.4g} / 1000 × (1 − {pores:.3g}) = "
                f"{bed:.4g} L"
            ),
            f"rock: {rock:.4g} kg / {density:.4g} kg/L = {stones:.4g} L",
            f"{gross:.5g} − {bed:.4g} − {stones:.4g} = {net:.5g} L",
        ),
    )


NET_VOLUME: Final = Calculation(
    name="net-volume",
    question="How much water is left beside sand and rock?",
    subject=Subject.VOLUME,
    asks=(
        replace(
            VOLUME,
            name="gross",
            label="Volume without them",
            fills_from="",
            doubt=Doubt(relative=0.02),
            example="316 L",
            hint="",
        ),
        length("length", "Length of the bed", "110 cm", default="0 cm"),
        length("width", "Width of the bed", "40 cm", default="0 cm"),
        length("depth", "Depth of the bed", "5 cm", default="0 cm"),
        _PORES,
        Input(
            name="rock",
            label="Rock, weighed dry",
            unit="kg",
            units=("kg", "lb", "g"),
            accepted=MASS,
            doubt=Doubt(relative=0.05),
            default="0 kg",
            example="20 kg",
        ),
        Input(
            name="density",
            label="Density of the rock",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=ROCK_DENSITY,
            doubt=Doubt(relative=0.05),
            default="2.7 kg/L",
            example="2.71 kg/L",
            hint="Its mineral's if its pores fill: quartz 2.65, calcite 2.71, aragonite 2.93.",
        ),
    ),
    outputs=(
        Output(name="net", label="Net volume", unit="L", figures=4),
        Output(name="bed", label="The bed displaces", unit="L"),
        Output(name="rock", label="The rock displaces", unit="L"),
    ),
    formula="net = gross − bed × (1 − pores) − kg of rock / density",
    sources=(
        GEOMETRY,
        Source(text="pores of sand, Beard & Weyl 1973, AAPG Bull. 57:349", mark="found"),
        Source(text="quartz 2.65 and calcite 2.71 kg/L", mark="found"),
        Source(text="aragonite 2.93 kg/L; pores of gravel", mark="memory"),
    ),
    cautions=(METER,),
    solve=_net,
    arguments={
        "displaced_l": "gross",
        "mass_kg": "rock",
        "porosity": "pores",
        "height_cm": "depth",
    },
)


def _by_weight(*, weight: float, grains: float) -> Worked:
    pores = porosity_by_weight(bulk_kg_l=weight, particle_kg_l=grains)
    return Worked(
        values={"pores": pores},
        working=(f"1 − {weight:.4g} / {grains:.4g} = {pores:.4g}",),
    )


BED_PORES: Final = Calculation(
    name="bed-pores",
    question="What share of a bed is pores, by the weight of a litre of it?",
    subject=Subject.VOLUME,
    asks=(
        Input(
            name="weight",
            label="A level litre of the bed, dry, weighs",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=ROCK_DENSITY,
            doubt=Doubt(relative=0.02),
            example="1.6 kg/L",
        ),
        Input(
            name="grains",
            label="Density of its grains",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=ROCK_DENSITY,
            doubt=Doubt(relative=0.02),
            example="2.65 kg/L",
            hint="Quartz 2.65, calcite 2.71, aragonite 2.93.",
        ),
    ),
    outputs=(Output(name="pores", label="Pores (1 is all)", unit=""),),
    formula="pores = 1 − weight of a litre / density of the grains",
    sources=(GEOMETRY, Source(text="quartz 2.65 and calcite 2.71 kg/L", mark="found")),
    solve=_by_weight,
    arguments={"bulk_kg_l": "weight", "particle_kg_l": "grains"},
)


def _by_filling(*, water: float, bed: float) -> Worked:
    pores = porosity_by_filling(water_l=water, bed_l=bed)
    return Worked(values={"pores": pores}, working=(f"{water:.4g} / {bed:.4g} = {pores:.4g}",))


BED_PORES_BY_FILLING: Final = Calculation(
    name="bed-pores-by-filling",
    question="What share of a bed is pores, by the water it takes?",
    subject=Subject.VOLUME,
    asks=(
        Input(
            name="water",
            label="Water that fills it, dry, exactly to its surface",
            unit="L",
            units=VOLUME_UNITS,
            accepted=BED,
            doubt=Doubt(relative=0.03),
            example="3.96 L",
        ),
        Input(
            name="bed",
            label="Volume of the bed",
            unit="L",
            units=VOLUME_UNITS,
            accepted=BED,
            doubt=Doubt(relative=0.03),
            example="10 L",
        ),
    ),
    outputs=(Output(name="pores", label="Pores (1 is all)", unit=""),),
    formula="pores = water / bed",
    sources=(GEOMETRY,),
    solve=_by_filling,
)


def _by_dose(*, added: float, rise: float) -> Worked:
    litres = volume_from_rise_l(added_g=added, rise_mg_l=rise)
    return Worked(
        values=in_all_units(litres),
        working=(f"{added:.4g} g × 1000 / {rise:.4g} mg/L = {litres:.5g} L",),
    )


VOLUME_BY_DOSE: Final = Calculation(
    name="volume-by-dose",
    question="What is the net volume, by how much a known dose raised it?",
    subject=Subject.VOLUME,
    asks=(
        Input(
            name="added",
            label="Added, of what the test counts",
            unit="g",
            units=WEIGHT_UNITS,
            accepted=GRAMS,
            needs_unit=True,
            doubt=Doubt(relative=0.01),
            example="0.8 g",
            hint="Of ammonium chloride 0.2619 g counts as nitrogen in every gram.",
        ),
        Input(
            name="rise",
            label="Rise measured, after less before",
            unit="mg/L",
            accepted=RISE,
            needs_unit=True,
            doubt=Doubt(relative=0.07),
            example="2.1 mg/L",
        ),
    ),
    outputs=OUTPUTS,
    formula="L = grams × 1000 / rise (mg/L)",
    sources=(Source(text="mass balance of a well-mixed water", mark="computed"),),
    cautions=("Only before anything takes it up: half an hour after the dose, fully mixed.", METER),
    solve=_by_dose,
)

CALCULATIONS: Final = (NET_VOLUME, BED_PORES, BED_PORES_BY_FILLING, VOLUME_BY_DOSE)
