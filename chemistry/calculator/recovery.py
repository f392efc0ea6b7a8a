"""Whether a test repeats itself, and finds a known amount again."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Input,
    Output,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.domain import Range
from chemistry.quality import RESULT, recovery, relative_difference

_USUAL_DUPLICATES_PERCENT: Final = 20
_USUAL_RECOVERY_PERCENT: Final = (80, 120)
_ML: Final = Range(name="volume", unit="mL", low=0.001, high=1e6)
_STANDARD: Final = Range(name="concentration of the standard", unit="", low=1e-6, high=1e6)
_METHODS: Final = Source(
    text="Standard Methods for the Examination of Water and Wastewater, 1020 B", mark="memory"
)


def _duplicates(*, first: float, second: float) -> Worked:
    if not first + second:
        raise Unsolved(
            "Both results are zero, so they have no relative difference: give one above zero.",
            field="second",
        )
    percent = 100 * relative_difference(first=first, second=second)
    mean = (first + second) / 2
    return Worked(
        values={"difference": percent, "mean": mean},
        working=(
            f"mean = ({first:.4g} + {second:.4g}) / 2 = {mean:.4g}",
            f"|{first:.4g} − {second:.4g}| / {mean:.4g} = {percent:.3g} %",
        ),
        notes=tuple(_note_on_duplicates(percent)),
        method="relative percent difference",
    )


def _note_on_duplicates(percent: float) -> Iterator[str]:
    if round(percent, 6) > _USUAL_DUPLICATES_PERCENT:
        yield (
            f"More than the {_USUAL_DUPLICATES_PERCENT} % usually accepted "
            "(common practice, no source): repeat both."
        )


_PLAIN: Final = Input(name="first", label="First result", unit="", accepted=RESULT, example="0.9")

DUPLICATES: Final = Calculation(
    name="duplicates",
    question="How far do two readings of one sample lie apart?",
    subject=Subject.QUALITY,
    asks=(_PLAIN, replace(_PLAIN, name="second", label="Second result, same unit", example="1.1")),
    outputs=(
        Output(name="difference", label="Relative difference", unit="%", figures=2),
        Output(name="mean", label="Mean, in the unit given", unit=""),
    ),
    formula="relative percent difference = |first − second| / mean × 100",
    sources=(_METHODS,),
    solve=_duplicates,
)


def _spike_recovery(
    *, unspiked: float, spiked: float, standard: float, sample: float, added: float
) -> Worked:
    share = recovery(
        unspiked=unspiked,
        spiked=spiked,
        sample_l=sample / 1000,
        standard_l=added / 1000,
        standard=standard,
    )
    total = sample + added
    return Worked(
        values={"recovery": 100 * share, "expected": _expected(unspiked, standard, sample, added)},
        working=(
            f"found = {spiked:.4g} × {total:.4g} mL − {unspiked:.4g} × {sample:.4g} mL",
            f"added = {standard:.4g} × {added:.4g} mL",
            f"recovery = found / added = {100 * share:.1f} %",
        ),
        notes=tuple(_note_on_recovery(100 * share)),
        method="recovery of a known addition",
    )


def _expected(unspiked: float, standard: float, sample: float, added: float) -> float:
    return (unspiked * sample + standard * added) / (sample + added)


def _note_on_recovery(percent: float) -> Iterator[str]:
    low, high = _USUAL_RECOVERY_PERCENT
    if not low <= percent <= high:
        yield (
            f"Outside the {low} to {high} % usually accepted (common practice, no source): "
            "something in the water disturbs the test, or the standard is off."
        )


SPIKE_RECOVERY: Final = Calculation(
    name="spike-recovery",
    question="Does the test find what was added?",
    subject=Subject.QUALITY,
    asks=(
        replace(_PLAIN, name="unspiked", label="Result before the addition", example="1.0"),
        replace(_PLAIN, name="spiked", label="Result after it, same unit", example="5.9"),
        replace(
            _PLAIN,
            name="standard",
            label="Concentration of the standard, same unit",
            accepted=_STANDARD,
            example="100",
        ),
        Input(
            name="sample",
            label="Volume of the sample",
            unit="mL",
            units=("mL", "L"),
            accepted=_ML,
            example="95 mL",
        ),
        Input(
            name="added",
            label="Volume of standard added",
            unit="mL",
            units=("mL", "L"),
            accepted=_ML,
            example="5 mL",
        ),
    ),
    outputs=(
        Output(name="recovery", label="Recovery", unit="%", figures=3),
        Output(name="expected", label="Result to expect", unit="", figures=3),
    ),
    formula=(
        "recovery = (spiked × (sample + added) − unspiked × sample) / (standard × added)\n"
        "both volumes in one unit"
    ),
    sources=(_METHODS,),
    cautions=("Wear gloves and eye protection with reagents; follow the leaflet's own warnings.",),
    solve=_spike_recovery,
    arguments={"sample_l": "sample", "standard_l": "added"},
)

CALCULATIONS: Final = (DUPLICATES, SPIKE_RECOVERY)
