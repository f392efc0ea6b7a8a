"""Two waters poured together."""

from dataclasses import replace
from typing import Final

from chemistry.blending import mixed_level, mixed_salinity_g_kg
from chemistry.calculator.inputs import SALINITY, TEMPERATURE, VOLUME
from chemistry.calculator.terms import Calculation, Input, Output, Source, Subject, Worked
from chemistry.calculator.water_changes import ANY_LEVEL, BALANCE, CHANGING, ONE_UNIT

_TEMPERATURE_NOTE: Final = "Both waters are taken to be equally warm."


def _together(*, level: float, volume: float, level_2: float, volume_2: float) -> Worked:
    mixed = mixed_level(level=level, volume_l=volume, added_level=level_2, added_l=volume_2)
    return Worked(
        values={"mixed": mixed, "litres": volume + volume_2},
        working=(
            (
                f"({level:.4g} × {volume:.4g} + {level_2:.4g} × {volume_2:.4g}) / "
                f"{volume + volume_2:.4g} = {mixed:.4g}"
            ),
        ),
    )


_SECOND_VOLUME: Final = replace(
    VOLUME, name="volume_2", label="Volume of the second", fills_from="", example="50 L"
)

MIX_TWO_WATERS: Final = Calculation(
    name="mix-two-waters",
    question="What level do two waters have when poured together?",
    subject=Subject.WATER_CHANGES,
    asks=(
        Input(
            name="level",
            label="Level in the first",
            unit="",
            accepted=ANY_LEVEL,
            example="40",
            hint=ONE_UNIT,
        ),
        replace(VOLUME, label="Volume of the first", example="150 L"),
        Input(
            name="level_2", label="Level in the second", unit="", accepted=ANY_LEVEL, example="5"
        ),
        _SECOND_VOLUME,
    ),
    outputs=(
        Output(name="mixed", label="Level of the mixture", unit=""),
        Output(name="litres", label="Litres together", unit="L", figures=4),
    ),
    formula="mixed = (level 1 × litres 1 + level 2 × litres 2) / (litres 1 + litres 2)",
    sources=(BALANCE,),
    cautions=(
        "Not for pH: acids and bases react. For salinity use mix-two-salinities.",
        CHANGING,
    ),
    solve=_together,
    arguments={"added_level": "level_2", "added_l": "volume_2"},
)


def _salty_together(
    *, salinity: float, volume: float, salinity_2: float, volume_2: float, temperature: float
) -> Worked:
    mixed = mixed_salinity_g_kg(
        salinity_g_kg=salinity,
        volume_l=volume,
        added_g_kg=salinity_2,
        added_l=volume_2,
        temperature_c=temperature,
    )
    plain = mixed_level(level=salinity, volume_l=volume, added_level=salinity_2, added_l=volume_2)
    return Worked(
        values={"mixed": mixed},
        working=(
            f"by litres alone {plain:.4g}; by weight at {temperature:.4g} °C {mixed:.4g} g/kg",
        ),
        notes=(_TEMPERATURE_NOTE,),
    )


MIX_TWO_SALINITIES: Final = Calculation(
    name="mix-two-salinities",
    question="What salinity do two waters have when poured together?",
    subject=Subject.WATER_CHANGES,
    asks=(
        replace(SALINITY, label="Salinity of the first"),
        replace(VOLUME, label="Volume of the first", example="150 L"),
        replace(
            SALINITY,
            name="salinity_2",
            label="Salinity of the second",
            fills_from="",
            example="0",
        ),
        _SECOND_VOLUME,
        TEMPERATURE,
    ),
    outputs=(Output(name="mixed", label="Salinity of the mixture", unit="g/kg", figures=4),),
    formula="S = (kg 1 × S1 + kg 2 × S2) / (kg 1 + kg 2), kg = litres × density",
    sources=(Source(text="mass balance on TEOS-10 densities, gsw 3.6", mark="computed"),),
    cautions=(CHANGING,),
    solve=_salty_together,
    arguments={"added_g_kg": "salinity_2", "added_l": "volume_2"},
)

CALCULATIONS: Final = (MIX_TWO_WATERS, MIX_TWO_SALINITIES)
