"""Stock solutions and the forms of a salt."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.dosing import BY_MOLES
from chemistry.calculator.inputs import PURITY, VOLUME, WEIGHT_UNITS
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Output,
    Source,
    Subject,
    Unsolved,
    Worked,
    options_from,
)
from chemistry.domain import GRAMS
from chemistry.salts import FACTS, DifferentSubstance, Salt, same_dose_g, stock_limit_g_l
from chemistry.solutions import (
    POURED,
    STRENGTH,
    stock_salt_g,
    strong_ml,
)

STRENGTH_UNITS: Final = ("g/L", "mg/mL")
_LABEL_IT: Final = "Label it with substance, form, strength, date and name; keep it locked away."
_MADE_UP: Final = (
    "Dissolve in part of the water, then make up to the mark: not so much water added."
)
DEFINITIONS: Final = Source(text="definitions of concentration", mark="computed")
_SALT: Final = Choice(
    name="salt",
    label="Salt and its form",
    options=options_from(Salt),
    example=Salt.AMMONIUM_CHLORIDE.value,
)
MILLILITRES: Final = replace(
    VOLUME,
    name="made",
    label="Solution to make",
    unit="mL",
    units=("mL", "L"),
    accepted=POURED,
    fills_from="",
    doubt=None,
    needs_unit=True,
    example="500 mL",
    hint="",
)


def _make(*, salt: str, strength: float, made: float, purity: float) -> Worked:
    form = Salt(salt)
    facts = FACTS[form]
    grams = stock_salt_g(salt=form, stock_g_l=strength, stock_ml=made, purity=purity)
    counted = strength * facts.share
    return Worked(
        values={"amount": grams, "counted": counted, "limit": stock_limit_g_l(form)},
        working=(
            f"{strength:.4g} g/L × {made:.4g} mL / 1000 / purity {purity:g} = {grams:.4g} g",
            (
                f"1 mL holds {strength:.4g} mg {facts.formula} × {facts.share:.5f} = "
                f"{counted:.4g} mg of {facts.counted}"
            ),
        ),
        notes=(_MADE_UP,),
        method=facts.formula,
    )


MAKE_STOCK: Final = Calculation(
    name="make-stock",
    question="How much salt makes this stock solution, and does it stay dissolved?",
    subject=Subject.DOSING,
    asks=(
        _SALT,
        Input(
            name="strength",
            label="Strength, as grams of this salt in a litre",
            unit="g/L",
            units=STRENGTH_UNITS,
            accepted=STRENGTH,
            example="100 g/L",
        ),
        MILLILITRES,
        PURITY,
    ),
    outputs=(
        Output(name="amount", label="Salt to weigh out", unit="g"),
        Output(name="counted", label="One mL holds, of what is counted", unit="mg/mL"),
        Output(
            name="limit", label="Strongest that stays dissolved at 10 °C", unit="g/L", figures=2
        ),
    ),
    formula="grams = g/L × mL / 1000 / purity",
    sources=(
        DEFINITIONS,
        BY_MOLES,
        Source(text="solubilities at 0 and 20 °C from handbook tables", mark="found"),
        Source(text="solubilities of nitrite, magnesium, phosphate, thiosulfate", mark="memory"),
    ),
    cautions=(_LABEL_IT,),
    solve=_make,
    arguments={"stock_g_l": "strength", "stock_ml": "made"},
)


def _thin(*, strong: float, wanted: float, made: float) -> Worked:
    of_strong = strong_ml(strong_g_l=strong, wanted_g_l=wanted, wanted_ml=made)
    return Worked(
        values={"strong_ml": of_strong, "factor": strong / wanted},
        working=(f"{made:.4g} mL × {wanted:.4g} / {strong:.4g} = {of_strong:.4g} mL, made up",),
        notes=("Measure the strong solution, then make up to the mark with water.",),
    )


THIN_STOCK: Final = Calculation(
    name="thin-stock",
    question="How much of a strong solution makes this weaker one?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="strong",
            label="Strong solution",
            unit="g/L",
            units=STRENGTH_UNITS,
            accepted=STRENGTH,
            example="100 g/L",
        ),
        Input(
            name="wanted",
            label="Strength wanted",
            unit="g/L",
            units=STRENGTH_UNITS,
            accepted=STRENGTH,
            example="10 g/L",
        ),
        MILLILITRES,
    ),
    outputs=(
        Output(name="strong_ml", label="Strong solution to measure out", unit="mL"),
        Output(name="factor", label="Times thinner", unit=""),
    ),
    formula="C1 V1 = C2 V2",
    sources=(DEFINITIONS,),
    cautions=(_LABEL_IT, "Strong acid goes into water, never water into acid."),
    solve=_thin,
    arguments={"wanted_ml": "made"},
)


def _swap(*, grams: float, have: str, wanted: str) -> Worked:
    try:
        other = same_dose_g(grams=grams, of=Salt(wanted), instead_of=Salt(have))
    except DifferentSubstance as fault:
        raise Unsolved(str(fault), field="wanted") from fault
    there, here = FACTS[Salt(wanted)], FACTS[Salt(have)]
    return Worked(
        values={"amount": other},
        working=(
            (
                f"{grams:.4g} g {here.formula} × {here.share:.5f} = {grams * here.share:.4g} g of "
                f"{here.counted}"
            ),
            f"/ {there.share:.5f} = {other:.4g} g {there.formula}",
        ),
    )


SALT_FORM: Final = Calculation(
    name="other-salt-form",
    question="How much of another form of a salt does the same?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="grams",
            label="Weight asked for",
            unit="g",
            units=WEIGHT_UNITS,
            accepted=GRAMS,
            needs_unit=True,
            example="10 g",
        ),
        replace(
            _SALT,
            name="have",
            label="of this salt",
            example=Salt.SODIUM_THIOSULFATE.value,
        ),
        replace(
            _SALT,
            name="wanted",
            label="given as",
            example=Salt.SODIUM_THIOSULFATE_PENTAHYDRATE.value,
        ),
    ),
    outputs=(Output(name="amount", label="Salt to weigh out", unit="g"),),
    formula="grams 2 = grams 1 × share counted in 1 / share counted in 2",
    sources=(BY_MOLES,),
    cautions=("The same alkalinity as bicarbonate or carbonate leads to another pH.",),
    solve=_swap,
)

CALCULATIONS: Final = (
    MAKE_STOCK,
    THIN_STOCK,
    SALT_FORM,
)
