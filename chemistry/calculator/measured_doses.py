"""Doses measured as per cent, by a label, or in drops."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.stocks import DEFINITIONS, MILLILITRES
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Doubt,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.domain import CONCENTRATION, SHARE_ABOVE_ZERO
from chemistry.dosing import SOLUTION_DENSITY
from chemistry.drops import (
    CAUGHT,
    COUNT,
    COUNTED,
    DROP,
    ERROR,
    drop_ml,
    rise_of_drops,
)
from chemistry.solutions import (
    PERCENT,
    STRENGTH,
    Percent,
    dose_ml,
    labelled_strength_g_l,
    strength_g_l,
)

_KIND: Final = Choice(
    name="kind",
    label="What the per cent count",
    options=(
        Option(value=Percent.WEIGHT_IN_VOLUME.value, label="w/v: grams in 100 mL of solution"),
        Option(value=Percent.WEIGHT_IN_WEIGHT.value, label="w/w: grams in 100 g of solution"),
    ),
    example=Percent.WEIGHT_IN_VOLUME.value,
)
_SHARE: Final = Input(
    name="share",
    label="Of what is counted in a gram dissolved (1 if the per cent count it)",
    unit="",
    accepted=SHARE_ABOVE_ZERO,
    default="1",
    example="1",
)


def _percent(
    *, percent: float, kind: str, density: float, share: float, rise: float, volume: float
) -> Worked:
    strength = strength_g_l(percent=percent, kind=Percent(kind), density_kg_l=density)
    poured = dose_ml(rise_mg_l=rise, volume_l=volume, solution_g_l=strength, active_share=share)
    by_weight = f" × {density:g} kg/L" if kind == Percent.WEIGHT_IN_WEIGHT.value else ""
    return Worked(
        values={"amount": poured, "strength": strength},
        working=(
            f"{percent:.4g} % {kind} × 10{by_weight} = {strength:.4g} g/L = mg/mL",
            f"{rise:.4g} mg/L × {volume:.4g} L / ({strength:.4g} × {share:g}) = {poured:.4g} mL",
        ),
    )


PERCENT_DOSE: Final = Calculation(
    name="percent-solution-dose",
    question="How much of a solution of so many per cent makes this rise?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="percent",
            label="Strength in per cent, as a number",
            unit="",
            accepted=PERCENT,
            example="5",
            hint="5 for 5 %.",
        ),
        _KIND,
        Input(
            name="density",
            label="Density of the solution (w/w only)",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=SOLUTION_DENSITY,
            default="1 kg/L",
            example="1 kg/L",
        ),
        _SHARE,
        Input(
            name="rise",
            label="Rise wanted",
            unit="mg/L",
            accepted=CONCENTRATION,
            needs_unit=True,
            example="2 mg/L",
        ),
        VOLUME,
    ),
    outputs=(
        Output(name="amount", label="Solution to measure out", unit="mL"),
        Output(name="strength", label="Its strength", unit="g/L"),
    ),
    formula="g/L = per cent × 10 (× density if w/w); mL = rise × litres / (g/L × share)",
    sources=(DEFINITIONS,),
    cautions=("Formalin is counted as it is sold: its 37 % is not corrected for again.",),
    solve=_percent,
    arguments={"active_share": "share", "solution_g_l": "percent"},
)


def _label(*, rise: float, volume: float, poured: float) -> Worked:
    strength = labelled_strength_g_l(rise_mg_l=rise, volume_l=volume, poured_ml=poured)
    return Worked(
        values={"strength": strength},
        working=(f"{rise:.4g} mg/L × {volume:.4g} L / {poured:.4g} mL = {strength:.4g} mg/mL",),
    )


LABEL_STRENGTH: Final = Calculation(
    name="label-strength",
    question="How strong is a product whose label says so much in so much water?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="rise",
            label="Rise the label promises",
            unit="mg/L",
            accepted=CONCENTRATION,
            needs_unit=True,
            example="2 mg/L",
        ),
        replace(VOLUME, fills_from="", doubt=None, example="1 gal_us", label="In this much water"),
        replace(MILLILITRES, name="poured", label="From this much product", example="0.2 mL"),
    ),
    outputs=(Output(name="strength", label="Strength", unit="mg/mL"),),
    formula="mg/mL = rise (mg/L) × litres / mL",
    sources=(DEFINITIONS,),
    cautions=("A label counts in its own basis: for ammonia ask whether N, NH3 or NH4.",),
    solve=_label,
)


def _counted_drops(
    *, drops: float, drop: float, error: float, strength: float, volume: float
) -> Worked:
    rise = rise_of_drops(
        drops=drops, solution_g_l=strength, volume_l=volume, drop_ml=drop, relative_error=error
    )
    return Worked(
        values={"rise": rise.rise_mg_l, "low": rise.low_mg_l, "high": rise.high_mg_l},
        working=(
            (
                f"{drops:g} × {drop:g} mL × {strength:.4g} mg/mL / {volume:.4g} L = "
                f"{rise.rise_mg_l:.4g} mg/L"
            ),
            f"± {100 * error:g} %: {rise.low_mg_l:.4g} to {rise.high_mg_l:.4g} mg/L",
        ),
        notes=("Bottles differ by more than this: count this one's drops with drop-size.",),
    )


DROPS_DOSE: Final = Calculation(
    name="drops-dose",
    question="What do this many drops raise the water by, and how surely?",
    subject=Subject.DOSING,
    asks=(
        Input(name="drops", label="Drops", unit="", accepted=COUNT, whole=True, example="8"),
        Input(
            name="drop",
            label="Size of a drop",
            unit="mL",
            accepted=DROP,
            default="0.05 mL",
            example="0.05 mL",
        ),
        Input(
            name="error",
            label="Error of a drop",
            unit="",
            units=("", "%"),
            accepted=ERROR,
            default="15 %",
            example="15 %",
        ),
        Input(
            name="strength",
            label="Strength of the solution",
            unit="mg/mL",
            units=("mg/mL", "g/L"),
            accepted=STRENGTH,
            example="7.5 mg/mL",
        ),
        VOLUME,
    ),
    outputs=(
        Output(name="rise", label="Rise", unit="mg/L", figures=2),
        Output(name="low", label="at least", unit="mg/L", figures=2),
        Output(name="high", label="at most", unit="mg/L", figures=2),
    ),
    formula="rise = drops × mL of a drop × mg/mL / litres",
    sources=(
        Source(text="USP 32 <1101>: 20 drops a mL, 45 to 55 mg each, within 15 %", mark="found"),
        Source(text="other tips 13 to 126 mg, Eschbaum 1895", mark="found"),
    ),
    cautions=("A counted dose is a guess until the dropper has been measured.",),
    solve=_counted_drops,
    arguments={"solution_g_l": "strength", "relative_error": "error"},
)


def _size(*, caught: float, drops: float) -> Worked:
    size = drop_ml(caught_ml=caught, drops=drops)
    return Worked(
        values={"drop": size, "per_ml": 1 / size},
        working=(f"{caught:.4g} mL / {drops:g} = {size:.4g} mL",),
    )


DROP_SIZE: Final = Calculation(
    name="drop-size",
    question="How large is a drop of this bottle?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="caught",
            label="Caught in a measure, or grams on scales",
            unit="mL",
            accepted=CAUGHT,
            doubt=Doubt(absolute=0.02),
            example="1.3 mL",
        ),
        Input(
            name="drops",
            label="Drops counted",
            unit="",
            accepted=COUNTED,
            whole=True,
            example="40",
        ),
    ),
    outputs=(
        Output(name="drop", label="A drop", unit="mL"),
        Output(name="per_ml", label="Drops in a mL", unit=""),
    ),
    formula="mL of a drop = mL caught / drops",
    sources=(Source(text="calibration of a dropper as in USP 32 <1101>", mark="found"),),
    cautions=("Hold the bottle as it is always held: the angle changes the drop.",),
    solve=_size,
)

CALCULATIONS: Final = (PERCENT_DOSE, LABEL_STRENGTH, DROPS_DOSE, DROP_SIZE)
