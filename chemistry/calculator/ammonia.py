"""Total ammonia and its un-ionised part."""

import math
from typing import Final

from chemistry.ammonia import unionised
from chemistry.calculator.inputs import PH, PH_SCALE, SALINITY, TAN, TEMPERATURE
from chemistry.calculator.terms import Calculation, Output, Source, Subject, Worked
from chemistry.nitrogen import Basis, from_nitrogen
from chemistry.ph_scales import PhScale


def _unionised_ammonia(
    *, tan: float, ph: float, scale: str, temperature: float, salinity: float
) -> Worked:
    share = unionised(
        ph=ph, temperature_c=temperature, salinity_g_kg=salinity, ph_scale=PhScale(scale)
    )
    nh3_mg_l_n = tan * share.fraction
    pk = ph + math.log10(1 / share.fraction - 1)
    return Worked(
        values={
            "nh3": nh3_mg_l_n,
            "nh3_as_nh3": from_nitrogen(nh3_mg_l_n, basis=Basis.NH3),
            "fraction": share.fraction,
        },
        working=(
            f"pK at {temperature:.4g} °C and {salinity:.4g} g/kg = {pk:.4f} ({share.method})",
            f"share = 1 / (1 + 10^({pk:.4f} − {ph:g})) = {share.fraction:.4g}",
            f"NH3 = {tan:.4g} mg/L as N × {share.fraction:.4g} = {nh3_mg_l_n:.3g} mg/L as N",
        ),
        notes=(share.note,),
        method=share.method,
    )


UNIONISED_AMMONIA: Final = Calculation(
    name="unionised-ammonia",
    question="How much of the ammonia is un-ionised?",
    subject=Subject.AMMONIA,
    asks=(TAN, PH, PH_SCALE, TEMPERATURE, SALINITY),
    outputs=(
        Output(name="nh3", label="Un-ionised ammonia", unit="mg/L as N", figures=2),
        Output(name="nh3_as_nh3", label="the same as NH3", unit="mg/L as NH3", figures=2),
        Output(name="fraction", label="Un-ionised share (1 is all)", unit="", figures=3),
    ),
    formula=(
        "share = 1 / (1 + 10^(pK − pH)); NH3 = total ammonia × share\n"
        "fresh water: pK = 0.09018 + 2729.92 / (t + 273.15)\n"
        "salt water: pK by US EPA 1989 for NBS pH, Clegg & Whitfield 1995 for total and free,\n"
        "Yao & Millero 1995 for the sea-water scale"
    ),
    sources=(
        Source(text="Emerson et al. 1975, J. Fish. Res. Board Can. 32:2379", mark="computed"),
        Source(text="US EPA 1989, EPA 440/5-88-004", mark="computed"),
        Source(
            text="Clegg & Whitfield 1995, Geochim. Cosmochim. Acta 59:2403, eq. 18",
            mark="computed",
        ),
        Source(
            text="Yao & Millero 1995, Aquat. Geochem. 1:53, through three libraries", mark="found"
        ),
    ),
    cautions=(
        "pH dominates: a kit read to ±0.2 leaves the answer uncertain by a factor of two.",
        "Limits differ by species; for sick animals ask a veterinarian who knows fish.",
    ),
    solve=_unionised_ammonia,
)

CALCULATIONS: Final = (UNIONISED_AMMONIA,)
