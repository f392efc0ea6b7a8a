"""Bleach for empty equipment."""

from dataclasses import replace
from typing import Final

from chemistry.bleach import BATH, BLEACH_DENSITY, LABEL, Label, available_chlorine_g_l, bleach_ml
from chemistry.calculator.disinfection import BY_MOLES
from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
    options_from,
)
from chemistry.dechlorination import MG_PER_MG_CL2, Neutraliser
from chemistry.domain import SHARE_ABOVE_ZERO


def _bath(
    *, bath: float, volume: float, percent: float, label: str, density: float, kept: float
) -> Worked:
    available = available_chlorine_g_l(percent=percent, label=Label(label), density_kg_l=density)
    poured = bleach_ml(
        chlorine_mg_l_cl2=bath, volume_l=volume, available_g_l=available, kept_share=kept
    )
    neutralised = bath * volume * MG_PER_MG_CL2[Neutraliser.THIOSULFATE_PENTAHYDRATE] / 1000
    return Worked(
        values={"amount": poured, "available": available, "thiosulfate": neutralised},
        working=(
            (
                f"{percent:.4g} % {label}: {available:.4g} g/L of chlorine when fresh, "
                f"{available * kept:.4g} now"
            ),
            f"{bath:.4g} mg/L × {volume:.4g} L / that = {poured:.4g} mL",
            (
                f"to neutralise the spent bath: {bath * volume / 1000:.4g} g Cl2 × 7.00 = "
                f"{neutralised:.4g} g of thiosulfate crystals"
            ),
        ),
    )


BLEACH_BATH: Final = Calculation(
    name="bleach-bath",
    question="How much bleach makes a disinfecting bath for empty equipment?",
    subject=Subject.DISINFECTION,
    asks=(
        Input(
            name="bath",
            label="Chlorine in the bath",
            unit="mg/L as Cl2",
            units=("mg/L as Cl2",),
            accepted=BATH,
            example="200 mg/L as Cl2",
        ),
        replace(VOLUME, label="Bath", fills_from="", doubt=None, example="50 L", hint=""),
        Input(
            name="percent",
            label="Strength on the bottle in per cent, as a number",
            unit="",
            accepted=LABEL,
            example="5.25",
        ),
        Choice(
            name="label",
            label="What those per cent count",
            options=options_from(Label),
            example=Label.NAOCL_BY_WEIGHT.value,
        ),
        Input(
            name="density",
            label="Density (by weight only)",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=BLEACH_DENSITY,
            default="1.08 kg/L",
            example="1.08 kg/L",
        ),
        Input(
            name="kept",
            label="Share of its strength it still has",
            unit="",
            units=("", "%"),
            accepted=SHARE_ABOVE_ZERO,
            doubt=Doubt(relative=0.2),
            default="1",
            example="0.8",
            hint="An open or warm bottle loses strength: half in months is common.",
        ),
    ),
    outputs=(
        Output(name="amount", label="Bleach", unit="mL"),
        Output(name="available", label="Chlorine in the fresh bleach", unit="g/L"),
        Output(name="thiosulfate", label="Crystals to neutralise it after", unit="g"),
    ),
    formula="mL = mg/L × litres / (g/L of available chlorine × share kept)",
    sources=(
        BY_MOLES,
        Source(text="1:100 of 5.25-6.15 % bleach is 525-615 mg/L, health guidance", mark="found"),
        Source(text="200 mg/L for nets and tools; decay of bleach", mark="common practice"),
    ),
    cautions=(
        "Empty, cleaned equipment only: never where animals are or water returns to them.",
        "Never with acids (chlorine gas) or with ammonia, urine or amines (chloramine gas).",
        "Gloves, goggles, open air; neutralise, rinse, test; follow local rules for draining.",
    ),
    solve=_bath,
    arguments={"chlorine_mg_l_cl2": "bath", "available_g_l": "percent", "kept_share": "kept"},
)

CALCULATIONS: Final = (BLEACH_BATH,)
