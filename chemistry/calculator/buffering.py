"""What a dose of alkalinity or the filter's work does to pH."""

from dataclasses import replace
from typing import Final

from chemistry.buffering import (
    after_nitrifying,
    aired,
    with_bicarbonate,
    with_carbonate,
    with_hydroxide,
)
from chemistry.calculator.alkalinity import RISE_ASKED
from chemistry.calculator.carbonate import (
    AIR,
    AIR_ARGUMENT,
    OTHER_BUFFERS,
    SOURCES,
    notes_on,
    on_scale,
)
from chemistry.calculator.inputs import ALKALINITY, PH, PH_SCALE, SALINITY, TAN, TEMPERATURE
from chemistry.calculator.terms import Calculation, Output, Source, Subject, Worked
from chemistry.carbonate import from_alkalinity_and_ph
from chemistry.carbonate_constants import Water
from chemistry.carbonate_ph import to_constants
from chemistry.ph_scales import PhScale


def _dosed(
    *,
    alkalinity: float,
    ph: float,
    scale: str,
    rise: float,
    air: float,
    temperature: float,
    salinity: float,
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity)
    named = PhScale(scale)
    before = from_alkalinity_and_ph(
        water, alkalinity_meq_l=alkalinity, ph=to_constants(water, ph, scale=named)
    )
    after = {
        "bicarbonate": with_bicarbonate(before, rise_meq_l=rise),
        "carbonate": with_carbonate(before, rise_meq_l=rise),
        "hydroxide": with_hydroxide(before, rise_meq_l=rise),
    }
    values = {name: on_scale(state, named) for name, state in after.items()}
    values["aired"] = on_scale(aired(after["bicarbonate"], pco2_uatm=air), named)
    return Worked(
        values=values,
        working=(
            (
                f"before: pH {ph:g}, alkalinity {alkalinity:.4g} meq/L, carbon "
                f"{before.carbon_mmol_l:.4g} mmol/L"
            ),
            *(
                f"{name}: {state.alkalinity_meq_l:.4g} meq/L with {state.carbon_mmol_l:.4g} mmol/L "
                f"of carbon: pH {values[name]:.3f} ({values[name] - ph:+.3f})"
                for name, state in after.items()
            ),
        ),
        notes=notes_on(before, named),
        method=before.method,
    )


PH_AFTER_DOSE: Final = Calculation(
    name="ph-after-alkalinity",
    question="Where does pH go when alkalinity is raised by bicarbonate, carbonate or hydroxide?",
    subject=Subject.ALKALINITY,
    asks=(
        ALKALINITY,
        PH,
        PH_SCALE,
        replace(RISE_ASKED, example="0.5 meq/L"),
        AIR,
        TEMPERATURE,
        SALINITY,
    ),
    outputs=(
        Output(name="bicarbonate", label="pH at once with bicarbonate", unit=""),
        Output(name="carbonate", label="pH at once with carbonate", unit=""),
        Output(name="hydroxide", label="pH at once with a hydroxide", unit=""),
        Output(name="aired", label="pH then in balance with the air", unit=""),
    ),
    formula=(
        "each meq/L of bicarbonate brings 1 mmol/L of carbon, of carbonate 0.5, of hydroxide none\n"
        "pH: where that carbon carries the new alkalinity"
    ),
    sources=SOURCES,
    cautions=(
        OTHER_BUFFERS,
        "Bicarbonate lowers a sea-water pH of 8.0 until carbon dioxide has left.",
        "Precipitation is left out: a strong carbonate or hydroxide dose clouds hard or sea water.",
    ),
    solve=_dosed,
    arguments={**AIR_ARGUMENT, "carbon_mmol_l": "rise"},
)


def _nitrified(
    *,
    alkalinity: float,
    ph: float,
    scale: str,
    oxidised: float,
    air: float,
    temperature: float,
    salinity: float,
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity)
    named = PhScale(scale)
    before = from_alkalinity_and_ph(
        water, alkalinity_meq_l=alkalinity, ph=to_constants(water, ph, scale=named)
    )
    after = after_nitrifying(before, oxidised_mg_l_n=oxidised)
    in_air = aired(after, pco2_uatm=air)
    return Worked(
        values={
            "closed": on_scale(after, named),
            "aired": on_scale(in_air, named),
            "left": after.alkalinity_meq_l,
        },
        working=(
            f"{oxidised:.4g} mg/L as N × 2 / 14.007 = {oxidised * 2 / 14.007:.4g} meq/L used",
            (
                f"alkalinity {alkalinity:.4g} → {after.alkalinity_meq_l:.4g} meq/L, carbon stays "
                f"{before.carbon_mmol_l:.4g} mmol/L"
            ),
        ),
        notes=notes_on(before, named),
        method=before.method,
    )


PH_AFTER_NITRIFYING: Final = Calculation(
    name="ph-after-nitrification",
    question="Where does pH go when the filter oxidises this much ammonia?",
    subject=Subject.NITROGEN,
    asks=(
        ALKALINITY,
        PH,
        PH_SCALE,
        replace(TAN, name="oxidised", label="Ammonia oxidised", example="2 mg/L as N"),
        AIR,
        TEMPERATURE,
        SALINITY,
    ),
    outputs=(
        Output(name="closed", label="pH before any gas has moved", unit=""),
        Output(name="aired", label="pH in balance with the air", unit=""),
        Output(name="left", label="Alkalinity left", unit="meq/L"),
    ),
    formula="NH4 + 2 O2 → NO3 + 2 H + H2O: two equivalents of alkalinity per mole of nitrogen",
    sources=(
        *SOURCES,
        Source(text="7.14 mg CaCO3 per mg N without growth; 6.98 to 7.14 in print", mark="memory"),
    ),
    cautions=(OTHER_BUFFERS, "Below 0.8 meq/L (40 mg/L CaCO3) nitrification slows."),
    solve=_nitrified,
    arguments={**AIR_ARGUMENT, "carbon_mmol_l": "oxidised"},
)

CALCULATIONS: Final = (PH_AFTER_DOSE, PH_AFTER_NITRIFYING)
