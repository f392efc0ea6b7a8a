"""Routines of water changes, and what to dose after one."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.reaching import reaching
from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Subject,
    Worked,
)
from chemistry.calculator.water_changes import (
    ANY_LEVEL,
    BALANCE,
    CHANGING,
    FRACTION_CHANGED,
    MIXED,
    ONE_UNIT,
    SOURCE_LEVEL,
)
from chemistry.flow_through import FLOW, MADE, steady_level_mg_l
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


def _flowing(*, made: float, flow: float, source: float) -> Worked:
    level = steady_level_mg_l(made_mg_day=made, flow_l_day=flow, source_mg_l=source)
    return Worked(
        values={"level": level},
        working=(f"{source:.4g} mg/L + {made:.4g} mg/day / {flow:.4g} L/day = {level:.4g} mg/L",),
    )


STEADY_FLOW: Final = Calculation(
    name="steady-level-under-flow",
    question="Where does a level settle when water runs through all the time?",
    subject=Subject.WATER_CHANGES,
    asks=(
        Input(
            name="made",
            label="Made a day, of what is counted",
            unit="mg/day",
            units=("mg/day", "g/day"),
            accepted=MADE,
            needs_unit=True,
            doubt=Doubt(relative=0.1),
            example="0.83 g/day",
            hint="Of feed: see feed-load.",
        ),
        Input(
            name="flow",
            label="Source water running through",
            unit="L/day",
            units=("L/day", "L/h", "L/min"),
            accepted=FLOW,
            needs_unit=True,
            doubt=Doubt(relative=0.1),
            example="500 L/day",
        ),
        replace(SOURCE_LEVEL, unit="mg/L", example="0.2 mg/L", hint="Counted in the same basis."),
    ),
    outputs=(Output(name="level", label="Level it settles at", unit="mg/L"),),
    formula="level = source + made / flow",
    sources=(BALANCE,),
    cautions=("Nothing is reckoned to be used up in the tank.", CHANGING),
    solve=_flowing,
    arguments={"made_mg_day": "made", "flow_l_day": "flow", "source_mg_l": "source"},
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

CALCULATIONS: Final = (
    STEADY_LEVEL,
    CHANGE_TO_HOLD,
    STEADY_FLOW,
    REDOSE,
)
