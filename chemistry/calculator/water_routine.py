"""Routines of water changes, what to dose after one, and two waters poured together."""

from dataclasses import replace
from typing import Final

from chemistry.blending import mixed_level, mixed_salinity_g_kg
from chemistry.calculator.inputs import SALINITY, TEMPERATURE, VOLUME
from chemistry.calculator.reaching import reaching
from chemistry.calculator.terms import Calculation, Input, Output, Source, Subject, Worked
from chemistry.calculator.water_changes import (
    ANY_LEVEL,
    BALANCE,
    CHANGING,
    FRACTION_CHANGED,
    MIXED,
    ONE_UNIT,
    SOURCE_LEVEL,
)
from chemistry.routine import (
    after_full_doses,
    fraction_to_hold,
    redose_rise,
    steady_after_change,
    steady_before_change,
)

_GAIN: Final = Input(
    name="gain",
    label="Gained between two changes",
    unit="",
    accepted=ANY_LEVEL,
    example="10",
    hint="How far the level rises from just after one change to just before the next.",
)
_LIMIT: Final = Input(
    name="limit",
    label="Level not to be passed",
    unit="",
    accepted=ANY_LEVEL,
    example="40",
    hint=ONE_UNIT,
)


def _settles(*, gain: float, fraction: float, source: float) -> Worked:
    before = steady_before_change(gain=gain, fraction=fraction, source_level=source)
    after = steady_after_change(gain=gain, fraction=fraction, source_level=source)
    return Worked(
        values={"before": before, "after": after},
        working=(
            f"before a change: {source:.4g} + {gain:.4g} / {fraction:.4g} = {before:.4g}",
            f"after it: {before:.4g} − {gain:.4g} = {after:.4g}",
        ),
        notes=("Reached after many changes; with small ones the level creeps up for months.",),
    )


STEADY_LEVEL: Final = Calculation(
    name="steady-level",
    question="Where does a routine of equal water changes settle?",
    subject=Subject.WATER_CHANGES,
    asks=(_GAIN, FRACTION_CHANGED, SOURCE_LEVEL),
    outputs=(
        Output(name="before", label="Level before each change", unit=""),
        Output(name="after", label="Level after each change", unit=""),
    ),
    formula="before = source + gain / f; after = before − gain",
    sources=(BALANCE, MIXED),
    cautions=(CHANGING,),
    solve=_settles,
    arguments={"source_level": "source"},
)


def _holds(*, gain: float, limit: float, source: float) -> Worked:
    with reaching("limit"):
        fraction = fraction_to_hold(gain=gain, limit=limit, source_level=source)
    return Worked(
        values={"fraction": 100 * fraction},
        working=(
            f"{gain:.4g} / ({limit:.4g} − {source:.4g}) = {100 * fraction:.4g} % of the water",
        ),
    )


CHANGE_TO_HOLD: Final = Calculation(
    name="water-change-to-hold",
    question="How large must each water change be to hold a level?",
    subject=Subject.WATER_CHANGES,
    asks=(_GAIN, _LIMIT, SOURCE_LEVEL),
    outputs=(Output(name="fraction", label="Change each time", unit="%"),),
    formula="f = gain / (limit − source)",
    sources=(BALANCE, MIXED),
    cautions=(CHANGING,),
    solve=_holds,
    arguments={"source_level": "source"},
)


def _again(*, target: float, source: float, fraction: float, volume: float) -> Worked:
    with reaching("target"):
        rise = redose_rise(target_level=target, source_level=source, fraction=fraction)
    twice = after_full_doses(dose=target, fraction=fraction, times=1)
    endless = steady_before_change(gain=target, fraction=fraction, source_level=0.0)
    return Worked(
        values={"rise": rise, "amount": rise * volume / 1000},
        working=(
            f"{fraction:.4g} × ({target:.4g} − {source:.4g}) = {rise:.4g} mg/L",
            f"× {volume:.4g} L / 1000 = {rise * volume / 1000:.4g} g of what is counted",
        ),
        notes=(
            f"The whole dose again would make {twice:.4g} mg/L, and {endless:.4g} in the end.",
            "What was used up or has decayed is not replaced by this: test.",
        ),
    )


REDOSE: Final = Calculation(
    name="redose-after-change",
    question="How much of a dose goes back in after a water change?",
    subject=Subject.WATER_CHANGES,
    asks=(
        Input(
            name="target",
            label="Level to be kept",
            unit="mg/L",
            accepted=ANY_LEVEL,
            example="2 mg/L",
        ),
        replace(SOURCE_LEVEL, unit="mg/L", example="0 mg/L", default="0 mg/L", hint=""),
        replace(FRACTION_CHANGED, label="Share of the water changed", example="30 %"),
        VOLUME,
    ),
    outputs=(
        Output(name="rise", label="Rise to dose", unit="mg/L"),
        Output(name="amount", label="that is, of what is counted", unit="g"),
    ),
    formula="rise = f × (target − source); grams = rise × litres / 1000",
    sources=(BALANCE,),
    cautions=(
        CHANGING,
        "A medicine is dosed again only as its veterinarian ordered.",
    ),
    solve=_again,
    arguments={"source_level": "source", "target_level": "target"},
)

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

CALCULATIONS: Final = (STEADY_LEVEL, CHANGE_TO_HOLD, REDOSE, MIX_TWO_WATERS, MIX_TWO_SALINITIES)
