"""Arithmetic of treatment baths that a veterinarian has ordered."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import PURITY, SALINITY, VOLUME
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
from chemistry.hydrometry import Scale
from chemistry.published_doses import Agent, figures_of
from chemistry.salinity import SALINITY as SALINITY_HELD
from chemistry.treatments import (
    BATH,
    CAUTION,
    FORMALIN,
    FORMALIN_DENSITY,
    FORMALIN_KG_L,
    ChloroquineForm,
    FormalinBasis,
    chloroquine_diphosphate_g,
    formalin_in,
    formalin_ml,
    formalin_oxygen_mg_l,
    formalin_ul_l,
    gravities,
    powder_g,
)

ISOLATE: Final = (
    "Dose only the water the animals are in today, by its net volume; test afterwards where a test "
    "exists."
)
FORMULAE: Final = Source(text="molar masses from IUPAC atomic weights", mark="computed")
ORDERED_VOLUME: Final = replace(VOLUME, example="200 L")


def printed(agent: Agent) -> tuple[str, ...]:
    """Return what has been printed about an agent, none of it a recommendation."""
    return (
        "In print, not advice:",
        *(
            f"{_span(figure.low, figure.high)} {figure.unit}, {figure.basis}: {figure.where} "
            f"({figure.source}) [{figure.mark}]"
            for figure in figures_of(agent)
        ),
    )


def _span(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _formalin(*, amount: float, basis: str, density: float, volume: float) -> Worked:
    on = FormalinBasis(basis)
    microlitres = formalin_ul_l(amount=amount, basis=on, formalin_kg_l=density)
    weighed = formalin_in(
        formalin_ul_l=microlitres, basis=FormalinBasis.MILLIGRAMS, formalin_kg_l=density
    )
    poured = formalin_ml(formalin_ul_l=microlitres, volume_l=volume)
    return Worked(
        values={
            "amount": poured,
            "by_volume": microlitres,
            "by_weight": weighed,
            "oxygen": formalin_oxygen_mg_l(formalin_mg_l=weighed),
        },
        working=(
            f"{amount:.4g} {on} = {microlitres:.4g} µL/L = {weighed:.4g} mg/L of formalin",
            f"{microlitres:.4g} µL/L × {volume:.4g} L / 1000 = {poured:.4g} mL",
        ),
        notes=printed(Agent.FORMALIN),
    )


FORMALIN_BATH: Final = Calculation(
    name="formalin-dose",
    question="How much 37 % formalin is an ordered concentration?",
    subject=Subject.TREATMENT,
    asks=(
        Input(
            name="amount",
            label="Concentration ordered, as a number",
            unit="",
            accepted=FORMALIN,
            example="25",
        ),
        Choice(
            name="basis",
            label="What that number counts",
            options=options_from(FormalinBasis),
            example=FormalinBasis.MICROLITRES.value,
            hint="Ask the veterinarian: the readings differ by 8 %, and formaldehyde by 2.5 times.",
        ),
        Input(
            name="density",
            label="Density of the formalin",
            unit="kg/L",
            units=("kg/L", "g/mL"),
            accepted=FORMALIN_DENSITY,
            default=f"{FORMALIN_KG_L} kg/L",
            example=f"{FORMALIN_KG_L} kg/L",
        ),
        ORDERED_VOLUME,
    ),
    outputs=(
        Output(name="amount", label="Formalin", unit="mL"),
        Output(name="by_volume", label="by volume", unit="µL/L"),
        Output(name="by_weight", label="by weight", unit="mg/L"),
        Output(name="oxygen", label="Oxygen it takes, about", unit="mg/L", figures=2),
    ),
    formula="mL = µL/L × litres / 1000; mg/L = µL/L × density; formaldehyde = mg/L × 0.37",
    sources=(
        Source(text="1 mg/L O2 for 5 mg/L of formalin, UF/IFAS VM-77", mark="found"),
        Source(text="density 1.08 kg/L", mark="memory"),
    ),
    cautions=(
        CAUTION,
        (
            "Carcinogen and sensitiser: fume hood or open air, gloves, goggles. Discard it when a "
            "white precipitate shows."
        ),
        "It takes oxygen: aerate hard. " + ISOLATE,
    ),
    solve=_formalin,
    arguments={"formalin_kg_l": "density", "formalin_ul_l": "amount", "formalin_mg_l": "amount"},
)


def _powder(*, bath: float, volume: float, purity: float) -> Worked:
    grams = powder_g(bath_mg_l=bath, volume_l=volume, purity=purity)
    return Worked(
        values={"amount": grams},
        working=(f"{bath:.4g} mg/L × {volume:.4g} L / 1000 / {purity:g} = {grams:.4g} g",),
        notes=printed(Agent.PRAZIQUANTEL),
    )


_BATH_ORDERED: Final = Input(
    name="bath",
    label="Concentration ordered",
    unit="mg/L",
    accepted=BATH,
    needs_unit=True,
    example="2 mg/L",
)

PRAZIQUANTEL_BATH: Final = Calculation(
    name="praziquantel-dose",
    question="How much praziquantel powder is an ordered concentration?",
    subject=Subject.TREATMENT,
    asks=(_BATH_ORDERED, ORDERED_VOLUME, PURITY),
    outputs=(Output(name="amount", label="Powder", unit="g"),),
    formula="grams = mg/L × litres / 1000 / purity",
    sources=(Source(text="definitions of concentration", mark="computed"),),
    cautions=(CAUTION, ISOLATE),
    solve=_powder,
)


def _chloroquine(*, bath: float, form: str, volume: float, purity: float) -> Worked:
    counted = ChloroquineForm(form)
    grams = chloroquine_diphosphate_g(
        bath_mg_l=bath, counted_as=counted, volume_l=volume, purity=purity
    )
    factor = 1.0 if counted is ChloroquineForm.DIPHOSPHATE else 515.865 / 319.877
    return Worked(
        values={"amount": grams},
        working=(
            (
                f"{bath:.4g} mg/L of {counted} × {factor:.4f} × {volume:.4g} L / 1000 / "
                f"{purity:g} = {grams:.4g} g of the diphosphate"
            ),
        ),
        notes=printed(Agent.CHLOROQUINE),
    )


CHLOROQUINE_BATH: Final = Calculation(
    name="chloroquine-dose",
    question="How much chloroquine diphosphate is an ordered concentration?",
    subject=Subject.TREATMENT,
    asks=(
        replace(_BATH_ORDERED, example="10 mg/L"),
        Choice(
            name="form",
            label="What the order counts",
            options=options_from(ChloroquineForm),
            example=ChloroquineForm.DIPHOSPHATE.value,
        ),
        ORDERED_VOLUME,
        PURITY,
    ),
    outputs=(Output(name="amount", label="Chloroquine diphosphate", unit="g"),),
    formula="grams = mg/L × litres / 1000 / purity; × 515.865/319.877 if ordered as base",
    sources=(FORMULAE,),
    cautions=(CAUTION, ISOLATE, "Prescription only; toxic to invertebrates and algae."),
    solve=_chloroquine,
)


def _low_salinity(*, salinity: float) -> Worked:
    read = gravities(salinity_g_kg=salinity)
    return Worked(
        values={_KEYS[scale]: gravity for scale, gravity in read},
        working=tuple(f"{scale.value}: {gravity:.5f}" for scale, gravity in read),
        notes=printed(Agent.HYPOSALINITY),
    )


_KEYS: Final = {scale: f"on_{scale.value[:5].replace('/', '_').strip()}" for scale in Scale}

LOW_SALINITY: Final = Calculation(
    name="low-salinity-gravity",
    question="What does each instrument show at an ordered low salinity?",
    subject=Subject.TREATMENT,
    asks=(
        replace(
            SALINITY,
            label="Salinity ordered",
            accepted=SALINITY_HELD,
            fills_from="",
            example="16",
        ),
    ),
    outputs=tuple(
        Output(name=_KEYS[scale], label=f"Specific gravity {scale.value}", unit="", figures=5)
        for scale in Scale
    ),
    formula="SG(a/b) = density(salinity, a) / density(pure water, b)",
    sources=(Source(text="TEOS-10 by gsw 3.6", mark="computed"),),
    cautions=(
        CAUTION,
        (
            "“1.009” is 11.7 to 15.9 g/kg by the scale: an order in gravity must name its scale. "
            "Strains differ; some hatch at 5 g/kg."
        ),
        "It kills invertebrates and sets the filter back: test ammonia daily.",
    ),
    solve=_low_salinity,
)

CALCULATIONS: Final = (
    FORMALIN_BATH,
    PRAZIQUANTEL_BATH,
    CHLOROQUINE_BATH,
    LOW_SALINITY,
)
