"""How sure free ammonia can be."""

from dataclasses import replace
from typing import Final

from chemistry.ammonia import unionised
from chemistry.ammonia_doubt import (
    PH_DOUBT,
    RELATIVE_DOUBT,
    TEMPERATURE_DOUBT,
    Sample,
    slopes,
    spread,
)
from chemistry.calculator.inputs import PH, PH_SCALE, SALINITY, TAN, TEMPERATURE
from chemistry.calculator.terms import Calculation, Input, Output, Source, Subject, Worked
from chemistry.ph_scales import PhScale


def _free_ammonia_error(  # noqa: PLR0913 - one keyword for each ask
    *,
    tan: float,
    ph: float,
    scale: str,
    temperature: float,
    salinity: float,
    tan_doubt: float,
    ph_doubt: float,
    temperature_doubt: float,
) -> Worked:
    sample = Sample(
        ph=ph,
        temperature_c=temperature,
        salinity_g_kg=salinity,
        ph_scale=PhScale(scale),
        ph_uncertainty=ph_doubt,
        temperature_uncertainty_c=temperature_doubt,
    )
    share = unionised(
        ph=ph, temperature_c=temperature, salinity_g_kg=salinity, ph_scale=sample.ph_scale
    )
    found = spread(sample, tan_relative_uncertainty=tan_doubt)
    nh3 = tan * share.fraction
    by_ph, by_temperature = slopes(sample)
    parts = (tan_doubt, by_ph * ph_doubt, by_temperature * temperature_doubt)
    return Worked(
        values={
            "nh3": nh3,
            "low": nh3 * max(0.0, 1 + found.below),
            "high": nh3 * (1 + found.above),
            "relative": 100 * found.standard,
        },
        working=(
            f"NH3 = {tan:.4g} mg/L as N × {share.fraction:.4g} = {nh3:.3g} mg/L as N",
            f"from total ammonia: {_percent(parts[0])}",
            f"from pH: {by_ph:.3f} × {ph_doubt:g} = {_percent(parts[1])}",
            f"from °C: {by_temperature:.4f} × {temperature_doubt:g} = {_percent(parts[2])}",
            f"together √(sum of the squares) = {_percent(found.standard)}",
        ),
        notes=(share.note, _largest(*parts)),
        method=share.method,
    )


def _largest(tan: float, ph: float, temperature: float) -> str:
    parts = {"total ammonia": abs(tan), "pH": abs(ph), "temperature": abs(temperature)}
    name = max(parts, key=lambda part: parts[part])
    whole = sum(part**2 for part in parts.values())
    if not whole:
        return "No doubt was given, so none came out."
    part = 100 * parts[name] ** 2 / whole
    return f"Most of the doubt comes from {name} ({part:.0f} % of the variance)."


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


FREE_AMMONIA_ERROR: Final = Calculation(
    name="free-ammonia-error",
    question="How sure is the un-ionised ammonia?",
    subject=Subject.QUALITY,
    asks=(
        replace(TAN, doubt=None),
        replace(PH, doubt=None),
        PH_SCALE,
        replace(TEMPERATURE, doubt=None),
        replace(SALINITY, doubt=None),
        Input(
            name="tan_doubt",
            label="Uncertainty of total ammonia, as a share",
            unit="",
            units=("", "%"),
            accepted=RELATIVE_DOUBT,
            default="10 %",
            example="10 %",
        ),
        Input(
            name="ph_doubt",
            label="Uncertainty of pH",
            unit="",
            accepted=PH_DOUBT,
            default="0.1",
            example="0.1",
        ),
        Input(
            name="temperature_doubt",
            label="Uncertainty of temperature, in °C",
            unit="",
            accepted=TEMPERATURE_DOUBT,
            default="0.5",
            example="0.5",
        ),
    ),
    outputs=(
        Output(name="nh3", label="Un-ionised ammonia", unit="mg/L as N", figures=2),
        Output(name="low", label="One uncertainty below", unit="mg/L as N", figures=2),
        Output(name="high", label="One uncertainty above", unit="mg/L as N", figures=2),
        Output(name="relative", label="Relative standard uncertainty", unit="%", figures=2),
    ),
    formula=(
        "share = 1 / (1 + 10^(pK − pH)); NH3 = total ammonia × share\n"
        "relative² = total ammonia² + (ln 10 (1 − share) × pH)² + (slope × temperature)²\n"
        "below and above: each quantity moved down and up by itself, joined by squares"
    ),
    sources=(
        Source(text="JCGM 100:2008, 5.1.2, applied to the fit named as method", mark="computed"),
    ),
    cautions=(
        "Show free ammonia with two figures at most; two times in three it lies within the bounds.",
        "Limits differ by species; for sick animals ask a veterinarian who knows fish.",
    ),
    solve=_free_ammonia_error,
    arguments={
        "ph_uncertainty": "ph_doubt",
        "temperature_uncertainty_c": "temperature_doubt",
        "tan_relative_uncertainty": "tan_doubt",
    },
)

CALCULATIONS: Final = (FREE_AMMONIA_ERROR,)
