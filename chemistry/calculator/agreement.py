"""Whether two tests of one water agree."""

import math
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
from chemistry.domain import CONCENTRATION, SHARE
from chemistry.quality import QUESTIONABLE, UNACCEPTABLE, step_uncertainty, zeta

_BASES: Final = ("mg/L as N", "mg/L as NH3", "mg/L as NH4", "mg/L as NO2", "mg/L as NO3")


def _kit_comparison(
    *,
    first: float,
    first_doubt: float,
    second: float,
    second_doubt: float,
    first_step: float = 0.0,
    second_step: float = 0.0,
) -> Worked:
    doubts = (_doubt(first, first_doubt, first_step), _doubt(second, second_doubt, second_step))
    together = math.hypot(*doubts)
    if not together:
        raise Unsolved(
            "Neither result has any doubt: give an uncertainty above zero, or the kit's step.",
            field="second_doubt",
        )
    score = zeta(first=first, second=second, first_doubt=doubts[0], second_doubt=doubts[1])
    return Worked(
        values={"zeta": score, "difference": first - second, "doubt": together},
        working=(
            f"difference = {first:.4g} − {second:.4g} = {first - second:.3g} mg/L as N",
            f"its uncertainty = √({doubts[0]:.3g}² + {doubts[1]:.3g}²) = {together:.3g} mg/L as N",
            f"zeta = {first - second:.3g} / {together:.3g} = {score:.2f}",
        ),
        notes=(_verdict(score),),
        method="ISO 13528 zeta score",
    )


def _doubt(result: float, share: float, step: float) -> float:
    return math.hypot(result * share, step_uncertainty(step=step))


def _verdict(score: float) -> str:
    if abs(score) <= QUESTIONABLE:
        return "The two agree within their doubts."
    if abs(score) <= UNACCEPTABLE:
        return "Questionable: repeat both, and check the basis printed in each leaflet."
    return "The two disagree: check basis, expiry and reagents, then test a known standard."


_RESULT: Final = Input(
    name="first",
    label="First result",
    unit="mg/L as N",
    units=_BASES,
    accepted=CONCENTRATION,
    needs_unit=True,
    example="1.0 mg/L as N",
    hint="Of ammonia, nitrite or nitrate, each in the basis its leaflet names.",
)
_SHARE: Final = Input(
    name="first_doubt",
    label="Uncertainty of the first result, as a share",
    unit="",
    units=("", "%"),
    accepted=SHARE,
    default="10 %",
    example="10 %",
)
_STEP: Final = Input(
    name="first_step",
    label="Step of the first kit's scale",
    unit="mg/L as N",
    units=_BASES,
    accepted=CONCENTRATION,
    needs_unit=True,
    optional=True,
    example="0.25 mg/L as N",
    hint="Read to the nearest step, a result is uncertain by step/√12.",
)

KIT_COMPARISON: Final = Calculation(
    name="kit-comparison",
    question="Do two tests of the same water agree?",
    subject=Subject.QUALITY,
    asks=(
        _RESULT,
        _SHARE,
        _STEP,
        replace(_RESULT, name="second", label="Second result", example="1.6 mg/L as NH4"),
        replace(_SHARE, name="second_doubt", label="Uncertainty of the second result, as a share"),
        replace(_STEP, name="second_step", label="Step of the second kit's scale"),
    ),
    outputs=(
        Output(name="zeta", label="Difference over its uncertainty", unit="", figures=2),
        Output(name="difference", label="First minus second", unit="mg/L as N"),
        Output(name="doubt", label="Uncertainty of the difference", unit="mg/L as N", figures=2),
    ),
    formula=(
        "uncertainty of one result = √((result × share)² + step²/12)\n"
        "zeta = (first − second) / √(first uncertainty² + second uncertainty²)\n"
        "up to 2 they agree, beyond 3 they do not"
    ),
    sources=(
        Source(text="ISO 13528, zeta score", mark="memory"),
        Source(text="JCGM 100:2008, 4.3.7: a reading to the nearest step", mark="memory"),
    ),
    cautions=("Two kits may agree and both be wrong; only a known standard tells.",),
    solve=_kit_comparison,
)


CALCULATIONS: Final = (KIT_COMPARISON,)
