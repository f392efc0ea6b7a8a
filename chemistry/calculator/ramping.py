"""Salinity brought to its stocking value in daily steps."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import SALINITY, TEMPERATURE, VOLUME
from chemistry.calculator.reaching import reaching
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.ramp import STEP_G_KG, SalinityStep, exchange_ramp, salt_ramp
from chemistry.salinity import BRINE

_LONGEST: Final = 60


def _daily(
    *,
    volume: float,
    salinity: float,
    target: float,
    step: float,
    by: str,
    source: float,
    temperature: float,
) -> Worked:
    with reaching("target"):
        if by == "salt":
            days = salt_ramp(
                volume_l=volume,
                salinity_g_kg=salinity,
                target_g_kg=target,
                step_g_kg=step,
                temperature_c=temperature,
            )
        else:
            days = exchange_ramp(
                volume_l=volume,
                salinity_g_kg=salinity,
                target_g_kg=target,
                step_g_kg=step,
                source_g_kg=source,
                temperature_c=temperature,
            )
    if len(days) > _LONGEST:
        raise Unsolved(f"That takes {len(days)} days: choose a larger step a day.", field="step")
    amounts = [_amount(day, by) for day in days]
    return Worked(
        values={"days": float(len(days)), "first": amounts[0] if amounts else 0.0}
        | {"together": sum(amounts)},
        working=tuple(
            f"day {day.day}: to {day.target_g_kg:.4g} g/kg with {amount:.4g} "
            f"{'g of dry salt' if by == 'salt' else 'L exchanged'}"
            for day, amount in zip(days, amounts, strict=True)
        )
        or ("the salinity is there already",),
    )


def _amount(day: SalinityStep, by: str) -> float:
    return day.salt_g if by == "salt" else day.exchange_l


SALINITY_RAMP: Final = Calculation(
    name="salinity-ramp",
    question="What does each day take to bring salinity up or down in steps?",
    subject=Subject.SALINITY,
    asks=(
        VOLUME,
        replace(SALINITY, label="Salinity now", example="18"),
        replace(
            SALINITY,
            name="target",
            label="Salinity wanted",
            fills_from="",
            doubt=None,
            example="35",
        ),
        Input(
            name="step",
            label="At most a day",
            unit="g/kg",
            units=("g/kg", "ppt"),
            accepted=STEP_G_KG,
            example="6",
            hint="Without animals any; with them 1 to 2 up, by species (common practice).",
        ),
        Choice(
            name="by",
            label="By",
            options=(
                Option(value="salt", label="dissolving dry salt (no animals in the water)"),
                Option(value="exchange", label="exchanging water"),
            ),
            example="salt",
        ),
        replace(
            SALINITY,
            name="source",
            label="Salinity of the water coming in (by exchange only)",
            accepted=BRINE,
            fills_from="",
            doubt=None,
            default="0",
            example="0",
        ),
        TEMPERATURE,
    ),
    outputs=(
        Output(name="days", label="Days", unit="", figures=1),
        Output(name="first", label="On the first day (g of salt, or L exchanged)", unit=""),
        Output(name="together", label="All days together (g, or L)", unit=""),
    ),
    formula=(
        "as few equal steps as keep within the pace\n"
        "each by the mass balance of raise-salinity-with-salt or change-salinity"
    ),
    sources=(
        Source(text="mass balance on TEOS-10 densities, gsw 3.6", mark="computed"),
        Source(text="pace with and without animals; sources conflict", mark="common practice"),
    ),
    cautions=(
        "Never dissolve dry salt in a tank that holds animals. Measure before each step.",
        "A filter proved at one salinity is proved again after a move of more than 10 g/kg.",
    ),
    solve=_daily,
    arguments={"salinity_g_kg": "salinity", "target_g_kg": "target"},
)

CALCULATIONS: Final = (SALINITY_RAMP,)
