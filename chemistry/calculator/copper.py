"""Ordered rises in copper, as a salt or as a product."""

from typing import Final

from chemistry.calculator.inputs import PURITY
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Output,
    Source,
    Subject,
    Worked,
    options_from,
)
from chemistry.calculator.treatment import FORMULAE, ISOLATE, ORDERED_VOLUME, printed
from chemistry.published_doses import Agent
from chemistry.treatments import (
    CAUTION,
    COPPER,
    PRODUCT_COPPER,
    CopperSalt,
    copper_product_ml,
    copper_sulfate_g,
    sulfate_mg_l,
)

_COPPER_RISE: Final = Input(
    name="rise",
    label="Rise in copper, counted as Cu, as ordered",
    unit="mg/L",
    accepted=COPPER,
    needs_unit=True,
    example="0.15 mg/L",
    hint="An order in copper sulfate is another number: 3.9 times as much.",
)


def _copper(*, rise: float, salt: str, volume: float, purity: float) -> Worked:
    form = CopperSalt(salt)
    grams = copper_sulfate_g(rise_mg_l_cu=rise, volume_l=volume, salt=form, purity=purity)
    as_salt = sulfate_mg_l(copper_mg_l=rise, salt=form)
    return Worked(
        values={"amount": 1000 * grams, "as_salt": as_salt},
        working=(
            f"{rise:.4g} mg/L of Cu = {as_salt:.4g} mg/L of {form}",
            f"× {volume:.4g} L / purity {purity:g} = {1000 * grams:.4g} mg",
        ),
        notes=printed(Agent.COPPER),
    )


COPPER_DOSE: Final = Calculation(
    name="copper-dose",
    question="How much copper sulfate is an ordered rise in copper?",
    subject=Subject.TREATMENT,
    asks=(
        _COPPER_RISE,
        Choice(
            name="salt",
            label="Form of the copper sulfate",
            options=options_from(CopperSalt),
            example=CopperSalt.CRYSTALS.value,
        ),
        ORDERED_VOLUME,
        PURITY,
    ),
    outputs=(
        Output(name="amount", label="Copper sulfate, in milligrams", unit="mg"),
        Output(name="as_salt", label="The rise counted as that salt", unit="mg/L"),
    ),
    formula="mg = mg/L of Cu × litres / (0.2545 for crystals, 0.398 anhydrous) / purity",
    sources=(FORMULAE,),
    cautions=(
        CAUTION,
        ISOLATE,
        "Copper kills most invertebrates and harms gills; a slip of the decimal point kills all.",
    ),
    solve=_copper,
    arguments={"copper_mg_l": "rise"},
)


def _product(*, rise: float, strength: float, volume: float) -> Worked:
    poured = copper_product_ml(rise_mg_l_cu=rise, volume_l=volume, product_copper_g_l=strength)
    return Worked(
        values={"amount": poured},
        working=(f"{rise:.4g} mg/L × {volume:.4g} L / {strength:.4g} mg/mL = {poured:.4g} mL",),
        notes=printed(Agent.COPPER),
    )


COPPER_PRODUCT: Final = Calculation(
    name="copper-product-dose",
    question="How much of a copper product is an ordered rise in copper?",
    subject=Subject.TREATMENT,
    asks=(
        _COPPER_RISE,
        Input(
            name="strength",
            label="Total copper in the product, from its label",
            unit="g/L",
            units=("g/L", "mg/mL"),
            accepted=PRODUCT_COPPER,
            needs_unit=True,
            example="10 g/L",
        ),
        ORDERED_VOLUME,
    ),
    outputs=(Output(name="amount", label="Product", unit="mL"),),
    formula="mL = mg/L of Cu × litres / (g/L of Cu in the product)",
    sources=(Source(text="definitions of concentration", mark="computed"),),
    cautions=(
        CAUTION,
        (
            "Bound (chelated) copper has targets and tests of its own, several times those of free "
            "copper: never carry one's target over to the other."
        ),
        ISOLATE,
    ),
    solve=_product,
    arguments={"product_copper_g_l": "strength"},
)

CALCULATIONS: Final = (COPPER_DOSE, COPPER_PRODUCT)
