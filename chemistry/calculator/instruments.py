"""What glass and prisms mean away from the temperature they were made for."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import SALINITY, TEMPERATURE
from chemistry.calculator.salinity import (
    ACCLIMATE,
    GRAVITY_READING,
    SALINITY_OUT,
    SCALE,
    TEOS,
)
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Option,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.calculator.wording import listed
from chemistry.hydrometry import (
    CORRECTS_ITSELF,
    FITTED_TO_G_KG,
    GLASS_PER_C,
    PRISM,
    REFRACTOMETER_C,
    WATER_AND_REFERENCE_C,
    Scale,
    gravity_on,
    salinity_from_hydrometer,
    salinity_from_refractometer,
)

_SELF_CORRECTING: Final = listed(f"a {name}" for name, does in CORRECTS_ITSELF.items() if does)
_THEMSELVES: Final = f"No correction for temperature is needed with {_SELF_CORRECTING}."


def _corrected(*, reading: float, temperature: float, scale: str) -> Worked:
    on = Scale(scale)
    salinity = salinity_from_hydrometer(reading=reading, water_c=temperature, scale=on)
    true = gravity_on(salinity_g_kg=salinity, scale=on)
    made_for_c, _ = WATER_AND_REFERENCE_C[on]
    swollen = 1 + GLASS_PER_C * (temperature - made_for_c)
    return Worked(
        values={"salinity": salinity, "corrected": true, "correction": true - reading},
        working=(
            (
                f"glass: {reading:.5g} / {swollen:.6f} = {reading / swollen:.5f} "
                f"at the water's own {temperature:.4g} °C"
            ),
            (
                f"density of salinity {salinity:.4g}; at {made_for_c:.4g} °C the scale would show "
                f"{true:.5f}"
            ),
        ),
        notes=("Expansion of the glass 25e-6 per °C is from memory; it is 0.4 g/kg in 10 °C.",),
    )


HYDROMETER_CORRECTION: Final = Calculation(
    name="hydrometer-correction",
    question="What does a glass hydrometer mean in water warmer or colder than its scale?",
    subject=Subject.SALINITY,
    asks=(
        replace(GRAVITY_READING, name="reading", label="Reading in the water", example="1.0250"),
        replace(TEMPERATURE, example="77 degF"),
        SCALE,
    ),
    outputs=(
        SALINITY_OUT,
        Output(name="corrected", label="What it would show at its own", unit="", figures=5),
        Output(name="correction", label="Add to the reading", unit="", figures=2),
    ),
    formula=(
        "density(salinity, t) = reading × density(pure, b) / (1 + 25e-6 (t − a)) for a scale a/b"
    ),
    sources=(
        TEOS,
        Source(text="expansion of soda-lime glass", mark="memory"),
    ),
    cautions=(
        "For glass only. A swing arm is out by more.",
        _THEMSELVES,
        ACCLIMATE,
    ),
    solve=_corrected,
    arguments={"water_c": "temperature", "specific_gravity": "reading"},
)


def _through_a_prism(*, reading: float, prism: float, compensated: str) -> Worked:
    if compensated == "yes":
        return Worked(
            values={"salinity": reading},
            working=("the instrument has corrected for its temperature itself",),
            notes=(_CALIBRATE,),
        )
    salinity = salinity_from_refractometer(reading_g_kg=reading, prism_c=prism)
    beyond = "Above 35 g/kg the formula is extrapolated."
    return Worked(
        values={"salinity": salinity},
        working=(
            f"light bent as by {reading:.4g} g/kg at {REFRACTOMETER_C:g} °C",
            f"at {prism:.4g} °C that is {salinity:.4g} g/kg",
        ),
        notes=(_CALIBRATE, *((beyond,) if max(salinity, reading) > FITTED_TO_G_KG else ())),
        method="index of refraction of sea water, Quan & Fry 1995",
    )


_CALIBRATE: Final = (
    "Set it with a standard near 35 g/kg of sea water, not with pure water; a scale made for table "
    "salt reads sea water about 4 % too high (from memory, unverified)."
)

REFRACTOMETER_CORRECTION: Final = Calculation(
    name="refractometer-correction",
    question="What does a refractometer mean at the temperature of its prism?",
    subject=Subject.SALINITY,
    asks=(
        replace(SALINITY, name="reading", label="Reading", fills_from="", example="33"),
        replace(
            TEMPERATURE,
            name="prism",
            label="Temperature of the prism",
            accepted=PRISM,
            fills_from="",
            hint="A drop takes the prism's temperature in half a minute.",
        ),
        Choice(
            name="compensated",
            label="Does it compensate for temperature?",
            options=(
                Option(value="yes", label="yes, “ATC” is written on it"),
                Option(value="no", label="no"),
            ),
            example="no",
        ),
    ),
    outputs=(SALINITY_OUT,),
    formula="n(salinity, t of the prism) = n(reading, 20 °C), solved for the salinity",
    sources=(
        Source(text="Quan & Fry 1995, Appl. Opt. 34:3477, coefficients", mark="found"),
        Source(text="scales without a note made for 20 °C", mark="common practice"),
    ),
    cautions=(ACCLIMATE,),
    solve=_through_a_prism,
    arguments={"reading_g_kg": "reading", "prism_c": "prism"},
)

CALCULATIONS: Final = (HYDROMETER_CORRECTION, REFRACTOMETER_CORRECTION)
