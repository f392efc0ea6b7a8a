"""Household ammonia: how strong it is and how much to take."""

from typing import Final

from chemistry.calculator.dosing import BY_MOLES, ONLY_EMPTY, TAN_RISE, TEST
from chemistry.calculator.inputs import VOLUME
from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.dosing import AMMONIA_SOLUTION
from chemistry.household_ammonia import (
    GRAVITY,
    alkalinity_added_meq_l,
    ammonia_density_kg_l,
    ammonia_share,
    household_ammonia_ml,
)
from chemistry.nitrogen import Basis, from_nitrogen


def _household(*, rise: float, volume: float, strength: float) -> Worked:
    poured = household_ammonia_ml(tan_mg_l_n=rise, volume_l=volume, ammonia_share=strength)
    density = ammonia_density_kg_l(ammonia_share=strength)
    alkalinity = alkalinity_added_meq_l(tan_mg_l_n=rise)
    return Worked(
        values={"amount": poured, "alkalinity": alkalinity},
        working=(
            f"a litre weighs {density:.4f} kg and holds {1000 * density * strength:.4g} g NH3",
            (
                f"{from_nitrogen(rise, basis=Basis.NH3):.4g} mg/L as NH3 × {volume:.4g} L / that = "
                f"{poured:.4g} mL"
            ),
        ),
        notes=(
            (
                f"It brings {alkalinity:.3g} meq/L of alkalinity and lifts pH; ammonium chloride "
                "does not."
            ),
        ),
    )


HOUSEHOLD_AMMONIA_DOSE: Final = Calculation(
    name="household-ammonia-dose",
    question="How much household ammonia raises total ammonia by this much?",
    subject=Subject.DOSING,
    asks=(
        TAN_RISE,
        VOLUME,
        Input(
            name="strength",
            label="Ammonia (NH3) by weight",
            unit="",
            units=("", "%"),
            accepted=AMMONIA_SOLUTION,
            doubt=Doubt(relative=0.2, source="sold as 2 to 10 %, seldom said which"),
            example="5 %",
            hint="A share such as 0.05, or 5 %.",
        ),
    ),
    outputs=(
        Output(name="amount", label="Household ammonia", unit="mL"),
        Output(name="alkalinity", label="Alkalinity it brings", unit="meq/L", figures=2),
    ),
    formula="mL = rise as NH3 × litres / (density (kg/L) × share × 1000)",
    sources=(
        BY_MOLES,
        Source(text="densities: Carius's table, reprinted in Cooley's Cyclopaedia", mark="found"),
    ),
    cautions=(
        "Never with bleach: chloramine gas. Strong ammonia burns eyes and lungs: goggles, air.",
        "Unfit if it foams when shaken or smells of perfume.",
        ONLY_EMPTY,
        TEST,
    ),
    solve=_household,
    arguments={"tan_mg_l_n": "rise", "rise_mg_l": "rise", "ammonia_share": "strength"},
)


def _strength(*, gravity: float) -> Worked:
    share = ammonia_share(gravity=gravity)
    return Worked(
        values={"strength": 100 * share},
        working=(f"{gravity:.4g} lies at {100 * share:.4g} % in the table, on straight lines",),
        notes=("An older table (Ure) has 26.5 % where this one has 27.0 % at 0.9000.",),
    )


AMMONIA_STRENGTH: Final = Calculation(
    name="ammonia-strength",
    question="How strong is an ammonia solution of this specific gravity?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="gravity",
            label="Specific gravity at 60 °F",
            unit="",
            accepted=GRAVITY,
            doubt=Doubt(absolute=0.001),
            example="0.980",
        ),
    ),
    outputs=(Output(name="strength", label="Ammonia (NH3) by weight", unit="%"),),
    formula="between the rows of Carius's table: 0.99 2.453 %, 0.98 4.956 %, 0.96 10.119 % ...",
    sources=(Source(text="Carius's table, reprinted in Cooley's Cyclopaedia", mark="found"),),
    cautions=("Strong ammonia burns eyes and lungs: goggles, air. Never near bleach.",),
    solve=_strength,
)

CALCULATIONS: Final = (HOUSEHOLD_AMMONIA_DOSE, AMMONIA_STRENGTH)
