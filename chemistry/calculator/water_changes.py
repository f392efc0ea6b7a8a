"""Water changes: one, several, by flow, and towards source water that is not clean."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.reaching import reaching
from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.dilution import (
    FRACTION,
    after_change,
    after_changes,
    changes_to_reach,
    fraction_to_reach,
)
from chemistry.domain import SHARE, Range
from chemistry.flow_through import POURED, after_flow_through, flow_through_to_reach_l

ANY_LEVEL: Final = Range(name="level", unit="", low=0.0, high=1e6)
BALANCE: Final = Source(text="mass balance of a well-mixed water", mark="computed")
MIXED: Final = Source(text="fully mixed between changes", mark="common practice")
CHANGING: Final = (
    "Match temperature, salinity and pH, and dechlorinate; a large change is a shock to animals "
    "used to the old water."
)
ONE_UNIT: Final = "The same unit and basis for all, such as mg/L as NO3; it is not written."

LEVEL_NOW: Final = Input(
    name="level",
    label="Level now",
    unit="",
    accepted=ANY_LEVEL,
    doubt=Doubt(relative=0.10),
    example="80",
    hint=ONE_UNIT,
)
SOURCE_LEVEL: Final = Input(
    name="source",
    label="Level in the source water",
    unit="",
    accepted=ANY_LEVEL,
    example="10",
    hint="Tap water is seldom free of it: test it. The same unit and basis.",
)
TARGET_LEVEL: Final = Input(
    name="target", label="Level wanted", unit="", accepted=ANY_LEVEL, example="20", hint=ONE_UNIT
)
FRACTION_CHANGED: Final = Input(
    name="fraction",
    label="Share of the water changed each time",
    unit="",
    units=("", "%"),
    accepted=FRACTION,
    doubt=Doubt(relative=0.05),
    example="25 %",
)
_TIMES: Final = Input(
    name="times",
    label="Number of changes",
    unit="",
    accepted=Range(name="number of changes", unit="", low=1, high=1000),
    whole=True,
    example="3",
)
_SOURCE: Final = {"source_level": "source"}
_BOTH: Final = _SOURCE | {"target_level": "target"}


def _after(*, level: float, source: float, fraction: float, times: float) -> Worked:
    once = after_change(level=level, source_level=source, fraction=fraction)
    after = after_changes(level=level, source_level=source, fraction=fraction, times=times)
    return Worked(
        values={"after": after, "left": (1 - fraction) ** times},
        working=(
            f"after one: {level:.4g} + {fraction:.4g} × ({source:.4g} − {level:.4g}) = {once:.4g}",
            (
                f"after {times:g}: {source:.4g} + ({level:.4g} − {source:.4g}) × "
                f"(1 − {fraction:.4g})^{times:g} = {after:.4g}"
            ),
        ),
        notes=("Percentages do not add up: two changes of 25 % replace 43.75 %.",),
    )


AFTER_CHANGES: Final = Calculation(
    name="after-water-changes",
    question="What is left after one or several water changes?",
    subject=Subject.WATER_CHANGES,
    asks=(LEVEL_NOW, SOURCE_LEVEL, replace(FRACTION_CHANGED, accepted=SHARE), _TIMES),
    outputs=(
        Output(name="after", label="Level after", unit=""),
        Output(name="left", label="Share of the old water left (1 is all)", unit=""),
    ),
    formula="after n changes = source + (level − source) (1 − f)^n",
    sources=(BALANCE, MIXED),
    cautions=(CHANGING,),
    solve=_after,
    arguments=_SOURCE,
)


def _to_target(*, level: float, source: float, target: float, fraction: float) -> Worked:
    with reaching("target"):
        at_once = fraction_to_reach(level=level, source_level=source, target_level=target)
        times = changes_to_reach(
            level=level, source_level=source, target_level=target, fraction=fraction
        )
    lands = after_changes(level=level, source_level=source, fraction=fraction, times=times)
    return Worked(
        values={"at_once": 100 * at_once, "times": times, "lands": lands},
        working=(
            (
                f"at once: ({level:.4g} − {target:.4g}) / ({level:.4g} − {source:.4g}) = "
                f"{100 * at_once:.4g} %"
            ),
            f"by changes of {100 * fraction:.4g} %: {times} of them, landing on {lands:.4g}",
        ),
    )


CHANGES_TO_TARGET: Final = Calculation(
    name="water-changes-to-target",
    question="How large a change, or how many smaller ones, reach this level?",
    subject=Subject.WATER_CHANGES,
    asks=(LEVEL_NOW, SOURCE_LEVEL, TARGET_LEVEL, FRACTION_CHANGED),
    outputs=(
        Output(name="at_once", label="One change of", unit="%"),
        Output(name="times", label="Or changes of the share given", unit="", figures=1),
        Output(name="lands", label="which land on", unit=""),
    ),
    formula=(
        "at once: f = (level − target) / (level − source)\n"
        "n = ln((target − source) / (level − source)) / ln(1 − f), rounded up"
    ),
    sources=(BALANCE, MIXED),
    cautions=(CHANGING,),
    solve=_to_target,
    arguments=_BOTH,
)

_POURED: Final = replace(
    VOLUME,
    name="poured",
    label="Water run through",
    accepted=POURED,
    fills_from="",
    doubt=None,
    example="200 L",
)


def _running(*, level: float, source: float, volume: float, poured: float) -> Worked:
    after = after_flow_through(level=level, source_level=source, volume_l=volume, poured_l=poured)
    return Worked(
        values={"after": after, "turnovers": poured / volume},
        working=(
            f"{poured:.4g} L / {volume:.4g} L = {poured / volume:.4g} volumes",
            f"{source:.4g} + ({level:.4g} − {source:.4g}) × e^−{poured / volume:.4g} = {after:.4g}",
        ),
        notes=("In batches, drained before it is refilled, the same litres do more.",),
    )


FLOW_THROUGH: Final = Calculation(
    name="flow-through",
    question="What is left when source water runs through without stopping?",
    subject=Subject.WATER_CHANGES,
    asks=(LEVEL_NOW, SOURCE_LEVEL, VOLUME, _POURED),
    outputs=(
        Output(name="after", label="Level after", unit=""),
        Output(name="turnovers", label="Volumes run through", unit=""),
    ),
    formula="after = source + (level − source) × e^(−poured / volume)",
    sources=(Source(text="washout of a stirred tank, reaction engineering", mark="computed"),),
    cautions=(CHANGING, "Chlorinated water must be dechlorinated before it enters."),
    solve=_running,
    arguments=_SOURCE,
)


def _running_until(*, level: float, source: float, target: float, volume: float) -> Worked:
    with reaching("target"):
        litres = flow_through_to_reach_l(
            level=level, source_level=source, target_level=target, volume_l=volume
        )
        batch = volume * fraction_to_reach(level=level, source_level=source, target_level=target)
    return Worked(
        values={"poured": litres, "batch": batch},
        working=(
            (
                f"{volume:.4g} L × ln(({level:.4g} − {source:.4g}) / "
                f"({target:.4g} − {source:.4g})) = {litres:.4g} L"
            ),
            f"as one change it would take {batch:.4g} L",
        ),
    )


FLOW_TO_TARGET: Final = Calculation(
    name="flow-through-to-target",
    question="How much water must run through to reach this level?",
    subject=Subject.WATER_CHANGES,
    asks=(LEVEL_NOW, SOURCE_LEVEL, TARGET_LEVEL, VOLUME),
    outputs=(
        Output(name="poured", label="Water to run through", unit="L"),
        Output(name="batch", label="or to change at once", unit="L"),
    ),
    formula="litres = volume × ln((level − source) / (target − source))",
    sources=(Source(text="washout of a stirred tank, reaction engineering", mark="computed"),),
    cautions=(CHANGING, "Chlorinated water must be dechlorinated before it enters."),
    solve=_running_until,
    arguments=_BOTH,
)

CALCULATIONS: Final = (AFTER_CHANGES, CHANGES_TO_TARGET, FLOW_THROUGH, FLOW_TO_TARGET)
