"""Carbon dioxide, pH and calcium carbonate from alkalinity and one thing more."""

from dataclasses import replace
from typing import Final

from chemistry.alkalinity import dkh_from_meq_l
from chemistry.calculator.inputs import (
    ALKALINITY,
    ALKALINITY_UNITS,
    PH,
    PH_SCALE,
    SALINITY,
    TEMPERATURE,
)
from chemistry.calculator.terms import Calculation, Input, Output, Source, Subject, Worked
from chemistry.carbonate import (
    CARBON,
    PRESSURE,
    Carbonate,
    from_alkalinity_and_carbon,
    from_alkalinity_and_ph,
    from_alkalinity_and_pressure,
    from_ph_and_pressure,
)
from chemistry.carbonate_constants import CALCIUM as CALCIUM_RANGE
from chemistry.carbonate_constants import FRESH_BELOW_G_KG, Water
from chemistry.carbonate_ph import INTERPOLATED, from_constants, is_interpolated, to_constants
from chemistry.ph_scales import PhScale

SOURCES: Final = (
    Source(
        text="Lueker, Dickson & Keeling 2000, Mar. Chem. 70:105 (salinity 19 up)", mark="computed"
    ),
    Source(text="Millero 2010, Mar. Freshw. Res. 61:139 (salinity 1 to 19)", mark="computed"),
    Source(
        text="Plummer & Busenberg 1982, Geochim. Cosmochim. Acta 46:1011 (fresh)", mark="computed"
    ),
)
OTHER_BUFFERS: Final = (
    "Wrong where phosphate, silicate, humic acids or a pH-buffer product carry alkalinity too."
)
AIR_ARGUMENT: Final = {"pco2_uatm": "air"}

CALCIUM: Final = Input(
    name="calcium",
    label="Calcium",
    unit="mg/L",
    accepted=CALCIUM_RANGE,
    optional=True,
    example="60 mg/L",
    hint="As Ca, not as CaCO3. Left blank, salt water is given the sea's share of it.",
)
AIR: Final = Input(
    name="air",
    label="Carbon dioxide in the air",
    unit="µatm",
    units=("µatm", "atm"),
    accepted=PRESSURE,
    default="420 µatm",
    example="420 µatm",
    hint="The open air holds about 420 (2024), a closed room with people 800 to 1200.",
)
_CARBON: Final = Input(
    name="carbon",
    label="Total inorganic carbon",
    unit="mmol/L",
    units=("mmol/L", "µmol/L"),
    accepted=CARBON,
    needs_unit=True,
    example="2.0 mmol/L",
)

_STATE: Final = (
    Output(name="co2", label="Dissolved CO2", unit="mg/L", figures=2),
    Output(name="pressure", label="CO2 pressure", unit="µatm"),
    Output(name="bicarbonate", label="Bicarbonate", unit="mmol/L"),
    Output(name="carbonate", label="Carbonate", unit="mmol/L"),
    Output(name="total", label="Total inorganic carbon", unit="mmol/L"),
    Output(name="calcite", label="Calcite saturation (1 is just full)", unit="", figures=2),
    Output(name="aragonite", label="Aragonite saturation (1 is just full)", unit="", figures=2),
)
_SHOWN_PH: Final = Output(name="ph", label="pH on the scale chosen", unit="")


def described(state: Carbonate[float]) -> dict[str, float]:
    """Return the outputs that every carbonate calculation has in common."""
    values = {
        "co2": state.co2_mg_l,
        "pressure": state.pco2_uatm,
        "bicarbonate": state.bicarbonate_mmol_l,
        "carbonate": state.carbonate_mmol_l,
        "total": state.carbon_mmol_l,
    }
    if state.omega_calcite is not None and state.omega_aragonite is not None:
        values |= {"calcite": state.omega_calcite, "aragonite": state.omega_aragonite}
    return values


def notes_on(state: Carbonate[float], scale: PhScale) -> tuple[str, ...]:
    if is_interpolated(state.water, scale=scale):
        return (*state.notes, INTERPOLATED)
    return state.notes


def on_scale(state: Carbonate[float], scale: PhScale) -> float:
    return from_constants(state.water, state.ph, scale=scale)


def _from_ph(
    *,
    alkalinity: float,
    ph: float,
    scale: str,
    temperature: float,
    salinity: float,
    calcium: float | None = None,
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity, calcium_mg_l=calcium)
    counted = to_constants(water, ph, scale=PhScale(scale))
    state = from_alkalinity_and_ph(water, alkalinity_meq_l=alkalinity, ph=counted)
    rule = 3 * dkh_from_meq_l(alkalinity_meq_l=alkalinity) * 10 ** (7 - ph)
    fresh = salinity < FRESH_BELOW_G_KG
    return Worked(
        values=described(state),
        working=(
            f"pH {ph:g} ({scale}) counts as {counted:.3f} with the constants of {state.method}",
            (
                f"bicarbonate {state.bicarbonate_mmol_l:.4g} and carbonate "
                f"{state.carbonate_mmol_l:.4g} mmol/L make up {alkalinity:.4g} meq/L with the rest"
            ),
            f"CO2 = {state.co2_mg_l / 44.009:.4g} mmol/L × 44.009 = {state.co2_mg_l:.3g} mg/L",
        ),
        notes=(
            *notes_on(state, PhScale(scale)),
            *(
                (f"The rule of thumb 3 × dKH × 10^(7 − pH) gives {rule:.2g} mg/L.",)
                if fresh
                else ()
            ),
        ),
        method=state.method,
    )


CARBON_DIOXIDE: Final = Calculation(
    name="carbon-dioxide",
    question="How much carbon dioxide is in the water, from alkalinity and pH?",
    subject=Subject.ALKALINITY,
    asks=(ALKALINITY, PH, PH_SCALE, TEMPERATURE, SALINITY, CALCIUM),
    outputs=_STATE,
    formula=(
        "alkalinity = HCO3 + 2 CO3 + B(OH)4 + OH − H\n"
        "CO2 = HCO3 × 10^(pK1 − pH); saturation = Ca × CO3 / solubility product"
    ),
    sources=SOURCES,
    cautions=(
        OTHER_BUFFERS,
        "The rule of thumb with 3 is 9 to 17 % low; an error of 0.1 in pH moves CO2 by 26 %.",
        "Animals gasping need air at once, whatever a formula says.",
    ),
    solve=_from_ph,
)


def _from_carbon(
    *, alkalinity: float, carbon: float, temperature: float, salinity: float, scale: str
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity)
    state = from_alkalinity_and_carbon(water, alkalinity_meq_l=alkalinity, carbon_mmol_l=carbon)
    ph = on_scale(state, PhScale(scale))
    return Worked(
        values={"ph": ph, **described(state)},
        working=(
            (
                f"pH at which {carbon:.4g} mmol/L of carbon carries {alkalinity:.4g} meq/L: "
                f"{state.ph:.3f} with the constants of {state.method}, {ph:.3f} on {scale}"
            ),
        ),
        notes=notes_on(state, PhScale(scale)),
        method=state.method,
    )


PH_FROM_CARBON: Final = Calculation(
    name="ph-from-carbon",
    question="Which pH do alkalinity and total inorganic carbon make together?",
    subject=Subject.ALKALINITY,
    asks=(ALKALINITY, _CARBON, TEMPERATURE, SALINITY, PH_SCALE),
    outputs=(_SHOWN_PH, *_STATE),
    formula="the pH at which HCO3 + 2 CO3 + B(OH)4 + OH − H equals the alkalinity",
    sources=SOURCES,
    cautions=(OTHER_BUFFERS,),
    solve=_from_carbon,
)


def _in_air(
    *, alkalinity: float, air: float, temperature: float, salinity: float, scale: str
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity)
    state = from_alkalinity_and_pressure(water, alkalinity_meq_l=alkalinity, pco2_uatm=air)
    ph = on_scale(state, PhScale(scale))
    return Worked(
        values={"ph": ph, **described(state)},
        working=(
            f"dissolved CO2 under {air:.4g} µatm: {state.co2_mg_l:.3g} mg/L",
            f"pH at which it carries {alkalinity:.4g} meq/L: {ph:.3f} on {scale}",
        ),
        notes=notes_on(state, PhScale(scale)),
        method=state.method,
    )


PH_IN_AIR: Final = Calculation(
    name="ph-in-air",
    question="Which pH does aeration tend to?",
    subject=Subject.ALKALINITY,
    asks=(ALKALINITY, AIR, TEMPERATURE, SALINITY, PH_SCALE),
    outputs=(_SHOWN_PH, *_STATE),
    formula="CO2 = solubility × pressure; pH from CO2 and alkalinity",
    sources=SOURCES,
    cautions=(
        OTHER_BUFFERS,
        (
            "Respiration keeps a stocked tank below this pH; a reading far below means that more "
            "aeration or fresher air would raise pH without any dose."
        ),
    ),
    solve=_in_air,
    arguments=AIR_ARGUMENT,
)


def _needed(
    *, ph: float, scale: str, air: float, temperature: float, salinity: float, alkalinity: float
) -> Worked:
    water = Water(temperature_c=temperature, salinity_g_kg=salinity)
    counted = to_constants(water, ph, scale=PhScale(scale))
    state = from_ph_and_pressure(water, ph=counted, pco2_uatm=air)
    rise = state.alkalinity_meq_l - alkalinity
    notes = () if rise > 0 else ("There is enough: aeration alone tends to this pH or higher.",)
    return Worked(
        values={"needed": state.alkalinity_meq_l, "rise": max(rise, 0.0)},
        working=(
            (
                f"alkalinity of pH {ph:g} ({scale}) under {air:.4g} µatm: "
                f"{state.alkalinity_meq_l:.4g} meq/L"
            ),
            f"less {alkalinity:.4g} meq/L there is: {rise:.4g} meq/L",
        ),
        notes=(*notes, *notes_on(state, PhScale(scale))),
        method=state.method,
    )


ALKALINITY_FOR_PH: Final = Calculation(
    name="alkalinity-for-ph",
    question="Which alkalinity holds a pH in balance with the air?",
    subject=Subject.ALKALINITY,
    asks=(
        replace(PH, label="pH to hold", doubt=None, fills_from="", example="7.8"),
        PH_SCALE,
        AIR,
        TEMPERATURE,
        SALINITY,
        replace(ALKALINITY, label="Alkalinity now", units=ALKALINITY_UNITS, example="0.5 meq/L"),
    ),
    outputs=(
        Output(name="needed", label="Alkalinity needed", unit="meq/L"),
        Output(name="rise", label="Rise needed", unit="meq/L"),
    ),
    formula="alkalinity = HCO3 + 2 CO3 + B(OH)4 + OH − H at that pH and CO2 pressure",
    sources=SOURCES,
    cautions=(OTHER_BUFFERS, "With ammonia in the water see raise-ph before raising anything."),
    solve=_needed,
    arguments=AIR_ARGUMENT,
)

CALCULATIONS: Final = (CARBON_DIOXIDE, PH_FROM_CARBON, PH_IN_AIR, ALKALINITY_FOR_PH)
