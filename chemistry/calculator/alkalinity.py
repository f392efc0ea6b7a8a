"""Alkalinity in another unit, what raises it, and what a weighed dose really did."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from chemistry.alkalinity import (
    MG_L_CACO3_PER_CLARK_DEGREE,
    MG_L_CACO3_PER_FRENCH_DEGREE,
    MG_L_CACO3_PER_GRAIN_PER_US_GALLON,
    RISE,
    caco3_from_meq_l,
    dkh_from_meq_l,
    mmol_kg_from_meq_l,
    rise_from_bicarbonate_meq_l,
    rise_from_carbonate_meq_l,
    sodium_bicarbonate_g,
    sodium_carbonate_g,
)
from chemistry.calculator.inputs import (
    ALKALINITY,
    ALKALINITY_UNITS,
    PURITY,
    SALINITY,
    TEMPERATURE,
    VOLUME,
    WEIGHT_UNITS,
)
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Dosed,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.constants import SODIUM_BICARBONATE_G_MOL, SODIUM_CARBONATE_G_MOL
from chemistry.domain import GRAMS
from chemistry.salinity import density_kg_l

_ALL_UNITS: Final = (*ALKALINITY_UNITS, "°fH", "°Clark", "gr/gal_us")
_BY_MASS: Final = Source(text="Molar masses on CIAAW atomic weights", mark="computed")


def _units(*, alkalinity: float, temperature: float, salinity: float) -> Worked:
    caco3 = caco3_from_meq_l(alkalinity_meq_l=alkalinity)
    density = float(density_kg_l(salinity_g_kg=salinity, temperature_c=temperature))
    return Worked(
        values={
            "meq_l": alkalinity,
            "dkh": dkh_from_meq_l(alkalinity_meq_l=alkalinity),
            "caco3": caco3,
            "french": caco3 / MG_L_CACO3_PER_FRENCH_DEGREE,
            "clark": caco3 / MG_L_CACO3_PER_CLARK_DEGREE,
            "grains": caco3 / MG_L_CACO3_PER_GRAIN_PER_US_GALLON,
            "molal": mmol_kg_from_meq_l(alkalinity_meq_l=alkalinity, density_kg_l=density),
        },
        working=(
            f"{alkalinity:.4g} meq/L × 50.043 = {caco3:.4g} mg/L CaCO3",
            f"{alkalinity:.4g} meq/L × 2.8039 = {alkalinity * 2.80385:.4g} dKH",
            f"per kilogram: {alkalinity:.4g} / {density:.4f} kg/L",
        ),
    )


ALKALINITY_UNITS_OF: Final = Calculation(
    name="alkalinity-units",
    question="What is this alkalinity in another unit?",
    subject=Subject.ALKALINITY,
    asks=(
        replace(ALKALINITY, units=_ALL_UNITS, doubt=None, example="8 dKH"),
        replace(TEMPERATURE, doubt=None, default="25 degC"),
        replace(SALINITY, doubt=None, default="0"),
    ),
    outputs=(
        Output(name="meq_l", label="Alkalinity", unit="meq/L"),
        Output(name="dkh", label="in German degrees", unit="dKH"),
        Output(name="caco3", label="as calcium carbonate", unit="mg/L CaCO3"),
        Output(name="french", label="in French degrees", unit="°fH"),
        Output(name="clark", label="in Clark degrees", unit="°Clark"),
        Output(name="grains", label="in grains per US gallon", unit="gr/gal_us"),
        Output(name="molal", label="per kilogram", unit="mmol/kg"),
    ),
    formula=(
        "1 meq/L = 50.043 mg/L CaCO3 = 2.8039 dKH (1 dKH is 10 mg/L CaO)\n"
        "French degree 10, Clark degree 14.254, grain per US gallon 17.118 mg/L CaCO3"
    ),
    sources=(
        _BY_MASS,
        Source(text="Grain and gallons: definitions of 1959 and 1985", mark="found"),
    ),
    cautions=("In print the roundings 50, 2.8, 17.8, 17.85 and 17.9 all occur.",),
    solve=_units,
)

RISE_ASKED: Final = Input(
    name="rise",
    label="Rise in alkalinity",
    unit="meq/L",
    units=ALKALINITY_UNITS,
    accepted=RISE,
    needs_unit=True,
    example="1 dKH",
)
_SAME_ALKALINITY: Final = (
    "Bicarbonate and carbonate raise alkalinity alike and pH unlike: see raise-ph first when there "
    "is ammonia in the water."
)


def _dose(
    rise: float,
    volume: float,
    purity: float,
    *,
    grams: Callable[..., float],
    g_per_eq: float,
    formula: str,
) -> Worked:
    amount = grams(rise_meq_l=rise, volume_l=volume, purity=purity)
    return Worked(
        values={"amount": amount},
        working=(
            f"{rise:.4g} meq/L × {volume:.4g} L = {rise * volume:.4g} meq",
            f"× {g_per_eq:.3f} mg/meq {formula} / 1000 / purity {purity:g} = {amount:.4g} g",
        ),
    )


def _bicarbonate(*, rise: float, volume: float, purity: float) -> Worked:
    return _dose(
        rise,
        volume,
        purity,
        grams=sodium_bicarbonate_g,
        g_per_eq=SODIUM_BICARBONATE_G_MOL,
        formula="NaHCO3",
    )


def _carbonate(*, rise: float, volume: float, purity: float) -> Worked:
    return _dose(
        rise,
        volume,
        purity,
        grams=sodium_carbonate_g,
        g_per_eq=SODIUM_CARBONATE_G_MOL / 2,
        formula="Na2CO3",
    )


BICARBONATE_DOSE: Final = Calculation(
    name="bicarbonate-dose",
    question="How much sodium bicarbonate raises alkalinity by this much?",
    subject=Subject.ALKALINITY,
    asks=(RISE_ASKED, VOLUME, PURITY),
    outputs=(Output(name="amount", label="Sodium bicarbonate", unit="g"),),
    formula="grams = rise (meq/L) × litres × 84.006 / 1000 / purity",
    sources=(_BY_MASS,),
    cautions=(_SAME_ALKALINITY,),
    doses=Dosed(substance="sodium bicarbonate", amount="amount", raises="alkalinity", rise="rise"),
    solve=_bicarbonate,
)
CARBONATE_DOSE: Final = Calculation(
    name="carbonate-dose",
    question="How much sodium carbonate raises alkalinity by this much?",
    subject=Subject.ALKALINITY,
    asks=(RISE_ASKED, VOLUME, PURITY),
    outputs=(Output(name="amount", label="Sodium carbonate, anhydrous", unit="g"),),
    formula="grams = rise (meq/L) × litres × 105.988 / 2 / 1000 / purity",
    sources=(_BY_MASS,),
    cautions=(
        _SAME_ALKALINITY,
        "It raises pH at once; spread it over days. The solution irritates skin and eyes.",
    ),
    doses=Dosed(substance="sodium carbonate", amount="amount", raises="alkalinity", rise="rise"),
    solve=_carbonate,
)

_SALT: Final = Choice(
    name="substance",
    label="Substance",
    options=(
        Option(value="bicarbonate", label="sodium bicarbonate"),
        Option(value="carbonate", label="sodium carbonate, anhydrous"),
    ),
    example="bicarbonate",
)
_WEIGHED: Final = Input(
    name="weighed",
    label="Weighed out",
    unit="g",
    units=WEIGHT_UNITS,
    accepted=GRAMS,
    needs_unit=True,
    example="30 g",
)


def _implied(*, substance: str, weighed: float, volume: float, purity: float) -> Worked:
    if substance == "bicarbonate":
        rise = rise_from_bicarbonate_meq_l(bicarbonate_g=weighed, volume_l=volume, purity=purity)
        mg_per_meq = SODIUM_BICARBONATE_G_MOL
    else:
        rise = rise_from_carbonate_meq_l(carbonate_g=weighed, volume_l=volume, purity=purity)
        mg_per_meq = SODIUM_CARBONATE_G_MOL / 2
    return Worked(
        values={"rise": rise, "rise_dkh": dkh_from_meq_l(alkalinity_meq_l=rise)},
        working=(
            (
                f"{weighed:.4g} g × purity {purity:g} × 1000 / {mg_per_meq:.3f} mg/meq"
                f" / {volume:.4g} L = {rise:.4g} meq/L"
            ),
        ),
    )


IMPLIED_RISE: Final = Calculation(
    name="alkalinity-from-dose",
    question="By how much did this dose raise alkalinity?",
    subject=Subject.ALKALINITY,
    asks=(_SALT, _WEIGHED, VOLUME, PURITY),
    outputs=(
        Output(name="rise", label="Rise in alkalinity", unit="meq/L"),
        Output(name="rise_dkh", label="the same in German degrees", unit="dKH"),
    ),
    formula="rise = grams × purity × 1000 / (84.006 or 52.994) / litres",
    sources=(_BY_MASS,),
    cautions=("Test before the next dose: some of it may have fallen out or been used up.",),
    solve=_implied,
    arguments={"bicarbonate_g": "weighed", "carbonate_g": "weighed"},
)

CALCULATIONS: Final = (ALKALINITY_UNITS_OF, BICARBONATE_DOSE, CARBONATE_DOSE, IMPLIED_RISE)
