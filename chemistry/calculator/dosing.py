"""How much of a substance moves so much water."""

from typing import Final

from chemistry.calculator.inputs import AMMONIA_UNITS, PURITY, VOLUME, WEIGHT_UNITS
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Dosed,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
    options_from,
)
from chemistry.domain import CONCENTRATION, GRAMS
from chemistry.dosing import (
    N_PER_AMMONIUM_CHLORIDE,
    STOCK,
    ammonium_chloride_g,
    dose_g,
    implied_tan_mg_l_n,
    stock_ml,
)
from chemistry.nitrogen import Basis, from_nitrogen
from chemistry.salts import FACTS, Salt

BY_MOLES: Final = Source(text="molar masses from IUPAC atomic weights", mark="computed")
ONLY_EMPTY: Final = "Only in a water without animals: start-up, or a filter kept fed."
_CAP: Final = (
    "Above 3 to 5 mg/L as N start-up is held to stall (common practice); raising pH afterwards "
    "turns more of it into un-ionised ammonia."
)
_STOP_MG_L_N: Final = 5.0
_BEYOND: Final = "More than 5 mg/L as N at once: dose less and again, or dilute first."
TEST: Final = "Test half an hour after: the reading proves the volume and the dose."

TAN_RISE: Final = Input(
    name="rise",
    label="Rise in total ammonia",
    unit="mg/L as N",
    units=AMMONIA_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    example="2 mg/L as N",
    hint="The same 2 is 0.59 to 0.76 g in 100 L by what your kit counts: N, NH3 or NH4.",
)
_STOCK: Final = Input(
    name="stock",
    label="Stock solution, if one is used",
    unit="g/L",
    accepted=STOCK,
    optional=True,
    example="100 g/L",
    hint="Grams of ammonium chloride in a litre of solution.",
)


def _feed_filter(
    *, rise: float, volume: float, purity: float, stock: float | None = None
) -> Worked:
    grams = ammonium_chloride_g(tan_mg_l_n=rise, volume_l=volume, purity=purity)
    by_stock = {} if stock is None else {"stock": stock_ml(substance_g=grams, stock_g_l=stock)}
    as_nh3 = from_nitrogen(rise, basis=Basis.NH3)
    as_nh4 = from_nitrogen(rise, basis=Basis.NH4)
    return Worked(
        values={"amount": grams} | by_stock,
        working=(
            f"{rise:.4g} mg/L as N × {volume:.4g} L = {rise * volume:.4g} mg of nitrogen",
            f"/ {N_PER_AMMONIUM_CHLORIDE:.5f} / purity {purity:g} / 1000 = {grams:.4g} g NH4Cl",
            *(f"as {ml:.4g} mL of {stock:g} g/L" for ml in by_stock.values()),
        ),
        notes=(
            f"A kit will show {as_nh3:.3g} mg/L as NH3 or {as_nh4:.3g} mg/L as NH4.",
            *((_BEYOND,) if rise > _STOP_MG_L_N else ()),
        ),
    )


AMMONIUM_CHLORIDE_DOSE: Final = Calculation(
    name="ammonium-chloride-dose",
    question="How much ammonium chloride raises total ammonia by this much?",
    subject=Subject.DOSING,
    asks=(TAN_RISE, VOLUME, PURITY, _STOCK),
    outputs=(
        Output(name="amount", label="Ammonium chloride", unit="g"),
        Output(name="stock", label="or of the stock", unit="mL"),
    ),
    formula="grams = rise (mg/L as N) × litres / 261.87 / purity; mL = grams × 1000 / (g/L)",
    sources=(BY_MOLES,),
    cautions=(ONLY_EMPTY, _CAP, TEST),
    doses=Dosed(substance="ammonium chloride", amount="amount", raises="tan", rise="rise"),
    solve=_feed_filter,
    arguments={"tan_mg_l_n": "rise", "rise_mg_l": "rise", "substance_g": "volume"},
)


def _weighed(*, weighed: float, volume: float, purity: float) -> Worked:
    rise = implied_tan_mg_l_n(ammonium_chloride_g=weighed, volume_l=volume, purity=purity)
    return Worked(
        values={"rise": rise, "as_nh3": from_nitrogen(rise, basis=Basis.NH3)},
        working=(
            (
                f"{weighed:.4g} g × {N_PER_AMMONIUM_CHLORIDE:.5f} × purity {purity:g} × 1000 / "
                f"{volume:.4g} L = {rise:.4g} mg/L as N"
            ),
        ),
    )


AMMONIUM_CHLORIDE_RISE: Final = Calculation(
    name="ammonium-chloride-rise",
    question="By how much did this much ammonium chloride raise total ammonia?",
    subject=Subject.DOSING,
    asks=(
        Input(
            name="weighed",
            label="Ammonium chloride weighed out",
            unit="g",
            units=WEIGHT_UNITS,
            accepted=GRAMS,
            needs_unit=True,
            doubt=Doubt(absolute=0.01),
            example="3.06 g",
        ),
        VOLUME,
        PURITY,
    ),
    outputs=(
        Output(name="rise", label="Rise in total ammonia", unit="mg/L as N"),
        Output(name="as_nh3", label="the same as NH3", unit="mg/L as NH3"),
    ),
    formula="rise = grams × 261.87 × purity / litres",
    sources=(BY_MOLES,),
    cautions=(ONLY_EMPTY, TEST),
    solve=_weighed,
    arguments={"ammonium_chloride_g": "weighed", "dose_g": "weighed"},
)


def _any_salt(*, salt: str, rise: float, volume: float, purity: float) -> Worked:
    facts = FACTS[Salt(salt)]
    grams = dose_g(rise_mg_l=rise, volume_l=volume, active_share=facts.share) / purity
    return Worked(
        values={"amount": grams},
        working=(
            (
                f"{facts.formula}, {facts.g_mol:.3f} g/mol, counts as {facts.share:.5f} of "
                f"{facts.counted}"
            ),
            (
                f"{rise:.4g} mg/L × {volume:.4g} L / {facts.share:.5f} / purity {purity:g} "
                f"/ 1000 = {grams:.4g} g"
            ),
        ),
        notes=(f"The rise is counted as {facts.counted}.",),
        method=facts.formula,
    )


_SALT: Final = Choice(
    name="salt",
    label="Salt and its form",
    options=options_from(Salt),
    example=Salt.CALCIUM_CHLORIDE_DIHYDRATE.value,
    hint="Crystals hold water: look for “dihydrate” or “·2H2O” on the label.",
)

SALT_DOSE: Final = Calculation(
    name="salt-dose",
    question="How much of a salt raises what it is dosed for by this much?",
    subject=Subject.DOSING,
    asks=(
        _SALT,
        Input(
            name="rise",
            label="Rise, as nitrogen, CaCO3, calcium, magnesium, chloride, phosphorus or copper",
            unit="mg/L",
            accepted=CONCENTRATION,
            needs_unit=True,
            example="20 mg/L",
        ),
        VOLUME,
        PURITY,
    ),
    outputs=(Output(name="amount", label="Salt to weigh out", unit="g"),),
    formula="grams = rise (mg/L) × litres / (g counted in a g of salt) / purity / 1000",
    sources=(BY_MOLES,),
    cautions=(
        "Dissolve it apart and add it slowly; spread a large rise over days when animals are in.",
        "Copper only on a veterinarian's order: use copper-dose.",
    ),
    solve=_any_salt,
)

CALCULATIONS: Final = (
    AMMONIUM_CHLORIDE_DOSE,
    AMMONIUM_CHLORIDE_RISE,
    SALT_DOSE,
)
