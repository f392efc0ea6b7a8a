"""Salinity, conductivity and specific gravity, one from another."""

from dataclasses import replace
from typing import Final

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
from chemistry.hydrometry import (
    GRAVITY,
    WATER_AND_REFERENCE_C,
    Scale,
    bare_gravity,
    gravity_on,
    salinity_on,
)
from chemistry.salinity import (
    COMPENSATION,
    CONDUCTIVITY,
    density_kg_l,
    practical_salinity,
    salinity_from_compensated,
)
from chemistry.salinity import (
    SALINITY as SALINITY_HELD,
)

TEOS: Final = Source(text="TEOS-10, IOC, SCOR & IAPSO 2010, by gsw 3.6", mark="computed")
ACCLIMATE: Final = (
    "Salinity of a tank with animals is changed slowly; how slowly depends on the species."
)
_NOBODY_KNOWS: Final = "unknown"
SALINITY_OUT: Final = Output(name="salinity", label="Salinity", unit="g/kg")

_CONDUCTIVITY: Final = Input(
    name="conductivity",
    label="Conductivity",
    unit="mS/cm",
    units=("mS/cm", "uS/cm", "mS/m"),
    accepted=CONDUCTIVITY,
    needs_unit=True,
    doubt=Doubt(relative=0.01),
    example="53.0 mS/cm",
)
_SHOWN: Final = Choice(
    name="shown",
    label="What the meter shows",
    options=(
        Option(value="as measured", label="conductivity at the water's own temperature"),
        Option(value="at 25", label="conductivity corrected to 25 °C"),
    ),
    example="as measured",
    hint="Most handheld meters correct to 25 °C unless told not to; see the menu.",
)
_COMPENSATION: Final = Input(
    name="compensation",
    label="Correction set in the meter, for each °C",
    unit="",
    units=("", "%"),
    accepted=COMPENSATION,
    default="2 %",
    example="2 %",
    hint="Only asked of a meter that corrects to 25 °C.",
)


def _from_conductivity(
    *, conductivity: float, temperature: float, shown: str, compensation: float
) -> Worked:
    if shown == "as measured":
        salinity = practical_salinity(conductivity_ms_cm=conductivity, temperature_c=temperature)
        undone = f"conductivity at {temperature:.4g} °C = {conductivity:.5g} mS/cm"
    else:
        salinity = salinity_from_compensated(
            conductivity_25_ms_cm=conductivity,
            temperature_c=temperature,
            compensation_per_c=compensation,
        )
        measured = conductivity * (1 + compensation * (temperature - 25))
        undone = (
            f"conductivity at {temperature:.4g} °C = {conductivity:.5g} × "
            f"(1 + {compensation:g} × ({temperature:.4g} − 25)) = {measured:.5g} mS/cm"
        )
    return Worked(
        values={"salinity": salinity},
        working=(undone, f"salinity by PSS-78 = {salinity:.4g}"),
        method="PSS-78 with the extension below 2 of Hill, Dauphinee & Woods 1986",
    )


SALINITY_FROM_CONDUCTIVITY: Final = Calculation(
    name="salinity-from-conductivity",
    question="What salinity does this conductivity mean?",
    subject=Subject.SALINITY,
    asks=(_CONDUCTIVITY, TEMPERATURE, _SHOWN, _COMPENSATION),
    outputs=(SALINITY_OUT,),
    formula=(
        "a reading corrected to 25 °C is undone: C = C25 (1 + a (t − 25))\n"
        "salinity = PSS-78(C, t) at the surface; C(35, 15 °C) = 42.914 mS/cm on IPTS-68"
    ),
    sources=(
        Source(text="UNESCO 1981, PSS-78; Fofonoff & Millard 1983, UNESCO 44", mark="found"),
        TEOS,
    ),
    cautions=(
        "It holds for sea water thinned or evaporated; fresh water of other salts differs.",
        ACCLIMATE,
    ),
    solve=_from_conductivity,
    arguments={"conductivity_25_ms_cm": "conductivity"},
)

GRAVITY_READING: Final = Input(
    name="gravity",
    label="Specific gravity",
    unit="",
    accepted=GRAVITY,
    doubt=Doubt(absolute=0.0005),
    example="1.025",
)
_SCALE_WORDS: Final = {"60/60 °F": "60/60 °F (15.6/15.6 °C)"}
SCALES: Final = tuple(
    Option(value=scale.value, label=_SCALE_WORDS.get(scale.value, scale.value)) for scale in Scale
)
SCALE: Final = Choice(
    name="scale",
    label="Temperatures of the scale",
    options=SCALES,
    example="60/60 °F",
    hint="Printed on the instrument: the water's over that of the pure water compared with.",
)


def _from_gravity(*, gravity: float, scale: str) -> Worked:
    meaning = bare_gravity(specific_gravity=gravity)
    spread = {"low": meaning.low_g_kg, "high": meaning.high_g_kg}
    lines = tuple(f"{on.value}: {salinity:.4g} g/kg" for on, salinity in meaning.by_scale)
    if scale == _NOBODY_KNOWS:
        return Worked(
            values=spread,
            working=lines,
            notes=(
                (
                    "Without its temperatures a specific gravity is only this interval: look on "
                    "the instrument or in its leaflet."
                ),
            ),
        )
    salinity = salinity_on(specific_gravity=gravity, scale=Scale(scale))
    water_c, reference_c = WATER_AND_REFERENCE_C[Scale(scale)]
    return Worked(
        values={"salinity": salinity} | spread,
        working=(
            f"density = {gravity:.5g} × pure water at {reference_c:.4g} °C",
            f"at {water_c:.4g} °C that is the density of salinity {salinity:.4g}",
            *lines,
        ),
    )


SALINITY_FROM_GRAVITY: Final = Calculation(
    name="salinity-from-gravity",
    question="What salinity does this specific gravity mean?",
    subject=Subject.SALINITY,
    asks=(
        GRAVITY_READING,
        replace(
            SCALE,
            options=(*SCALES, Option(value=_NOBODY_KNOWS, label="nobody knows")),
        ),
    ),
    outputs=(
        SALINITY_OUT,
        Output(name="low", label="Lowest that any scale could mean", unit="g/kg"),
        Output(name="high", label="Highest that any scale could mean", unit="g/kg"),
    ),
    formula="SG(a/b) = density(salinity, a) / density(pure water, b), solved for the salinity",
    sources=(TEOS,),
    cautions=(
        (
            "The water is taken to be at the scale's temperature, or the instrument to correct "
            "itself; for glass in warmer water use hydrometer-correction."
        ),
        ACCLIMATE,
    ),
    solve=_from_gravity,
    arguments={"specific_gravity": "gravity"},
)


def _on_every_scale(*, salinity: float, temperature: float) -> Worked:
    shown = {scale: gravity_on(salinity_g_kg=salinity, scale=scale) for scale in Scale}
    density = density_kg_l(salinity_g_kg=salinity, temperature_c=temperature)
    return Worked(
        values={_KEYS[scale]: gravity for scale, gravity in shown.items()} | {"density": density},
        working=tuple(
            f"{scale.value}: density at {WATER_AND_REFERENCE_C[scale][0]:.4g} °C over pure water "
            f"at {WATER_AND_REFERENCE_C[scale][1]:.4g} °C = {gravity:.5f}"
            for scale, gravity in shown.items()
        ),
    )


_KEYS: Final = {scale: f"on_{scale.value[:5].replace('/', '_').strip()}" for scale in Scale}

GRAVITY_FROM_SALINITY: Final = Calculation(
    name="gravity-from-salinity",
    question="What does an instrument show at this salinity?",
    subject=Subject.SALINITY,
    asks=(replace(SALINITY, accepted=SALINITY_HELD), TEMPERATURE),
    outputs=(
        *(
            Output(name=_KEYS[scale], label=f"Specific gravity {scale.value}", unit="", figures=5)
            for scale in Scale
        ),
        Output(name="density", label="Density at the water's temperature", unit="kg/L", figures=5),
    ),
    formula="SG(a/b) = density(salinity, a) / density(pure water, b)",
    sources=(TEOS,),
    cautions=(ACCLIMATE,),
    solve=_on_every_scale,
)

CALCULATIONS: Final = (
    SALINITY_FROM_CONDUCTIVITY,
    SALINITY_FROM_GRAVITY,
    GRAVITY_FROM_SALINITY,
)
