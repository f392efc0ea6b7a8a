"""What sea water of a salinity is made of, and mg/kg against mg/L."""

from dataclasses import replace
from typing import Final

from chemistry.alkalinity import caco3_from_meq_l, dkh_from_meq_l
from chemistry.calculator.inputs import SALINITY, TEMPERATURE
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Doubt,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.salinity import density_kg_l
from chemistry.seawater import (
    AMOUNT,
    Species,
    chlorinity_g_kg,
    mg_kg_from_mg_l,
    mg_l_from_mg_kg,
    reference_alkalinity_meq_l,
    reference_mg_l,
)

_LISTED: Final = (
    Species.CALCIUM,
    Species.MAGNESIUM,
    Species.POTASSIUM,
    Species.STRONTIUM,
    Species.SULFATE,
    Species.CHLORIDE,
    Species.SODIUM,
    Species.BROMIDE,
)
_NATURAL: Final = (
    "A made-up mix may differ; animals in it are used to what they have: change slowly."
)
_MILLERO: Final = Source(
    text="Reference Composition, Millero, Feistel, Wright & McDougall 2008, Deep-Sea Res. I 55:50",
    mark="found",
)
_TEOS: Final = Source(text="density by TEOS-10, gsw 3.6", mark="computed")


def _composition(*, salinity: float, temperature: float) -> Worked:
    held = {
        species.value: reference_mg_l(
            species=species, salinity_g_kg=salinity, temperature_c=temperature
        )
        for species in _LISTED
    }
    alkalinity = reference_alkalinity_meq_l(salinity_g_kg=salinity, temperature_c=temperature)
    density = density_kg_l(salinity_g_kg=salinity, temperature_c=temperature)
    chlorinity = chlorinity_g_kg(salinity_g_kg=salinity)
    return Worked(
        values=held | {"alkalinity": alkalinity, "chlorinity": chlorinity},
        working=(
            f"density at {temperature:.4g} °C = {density:.5f} kg/L",
            (
                f"calcium = 412.1 mg/kg × {salinity:.4g}/35 × {density:.5f} = "
                f"{held['calcium']:.4g} mg/L, and the others alike"
            ),
            (
                f"alkalinity = {alkalinity:.3f} meq/L = "
                f"{dkh_from_meq_l(alkalinity_meq_l=alkalinity):.3g} dKH = "
                f"{caco3_from_meq_l(alkalinity_meq_l=alkalinity):.4g} mg/L CaCO3"
            ),
            f"chlorinity = {salinity:.4g} / 1.80655 = {chlorinity:.4g} g/kg",
        ),
    )


SEAWATER_COMPOSITION: Final = Calculation(
    name="seawater-composition",
    question="What does natural sea water of this salinity hold?",
    subject=Subject.SALINITY,
    asks=(SALINITY, TEMPERATURE),
    outputs=(
        *(
            Output(name=species.value, label=species.value.capitalize(), unit="mg/L")
            for species in _LISTED
        ),
        Output(name="alkalinity", label="Alkalinity", unit="meq/L"),
        Output(name="chlorinity", label="Chlorinity", unit="g/kg", figures=4),
    ),
    formula="mg/L = mass fraction of sea salt × salinity × 35.16504/35 × density × 1000",
    sources=(_MILLERO, _TEOS),
    cautions=(_NATURAL,),
    solve=_composition,
)

_WAY: Final = Choice(
    name="given",
    label="What is known",
    options=(
        Option(value="mg/kg", label="mg/kg, by weight (often “ppm” on a salt's label)"),
        Option(value="mg/L", label="mg/L, by volume (what most tests count)"),
    ),
    example="mg/kg",
)


def _by_weight_and_volume(
    *, amount: float, given: str, salinity: float, temperature: float
) -> Worked:
    density = density_kg_l(salinity_g_kg=salinity, temperature_c=temperature)
    water = {"salinity_g_kg": salinity, "temperature_c": temperature}
    by_weight = given == "mg/kg"
    if by_weight:
        other = mg_l_from_mg_kg(mg_kg=amount, **water)
    else:
        other = mg_kg_from_mg_l(mg_l=amount, **water)
    sign, unit = ("×", "mg/L") if by_weight else ("/", "mg/kg")
    return Worked(
        values={"mg_l": other, "mg_kg": amount} if by_weight else {"mg_l": amount, "mg_kg": other},
        working=(
            f"density of salinity {salinity:.4g} at {temperature:.4g} °C = {density:.5f} kg/L",
            f"{amount:.5g} {given} {sign} {density:.5f} kg/L = {other:.5g} {unit}",
        ),
    )


BY_WEIGHT_OR_VOLUME: Final = Calculation(
    name="ppm-by-weight-or-volume",
    question="What is this many parts per million by weight in mg/L, or the other way round?",
    subject=Subject.SALINITY,
    asks=(
        Input(
            name="amount",
            label="Amount, in the unit chosen below",
            unit="",
            accepted=replace(AMOUNT, high=1e5),
            doubt=Doubt(relative=0.05),
            example="412",
        ),
        _WAY,
        SALINITY,
        TEMPERATURE,
    ),
    outputs=(
        Output(name="mg_l", label="By volume", unit="mg/L", figures=4),
        Output(name="mg_kg", label="By weight", unit="mg/kg", figures=4),
    ),
    formula="mg/L = mg/kg × density (kg/L)",
    sources=(_TEOS,),
    cautions=("In sea water the two differ by 2 %, in fresh water hardly; say which is meant.",),
    solve=_by_weight_and_volume,
)

CALCULATIONS: Final = (SEAWATER_COMPOSITION, BY_WEIGHT_OR_VOLUME)
