"""Chlorine and chloramine: taking them out and judging what is left."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import PURITY, VOLUME
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Dosed,
    Doubt,
    Input,
    Option,
    Output,
    Source,
    Subject,
    Worked,
    options_from,
)
from chemistry.dechlorination import (
    CHLORINE,
    MG_PER_MG_CL2,
    TAN_MG_N_PER_MG_CL2,
    Neutraliser,
    Reaction,
    neutraliser_g,
    tan_freed_mg_l_n,
    thiosulfate_mg_per_mg_cl2,
)
from chemistry.residual_chlorine import DETECTION, residual_chlorine

_CL2_UNITS: Final = ("mg/L as Cl2", "mg/L as NH2Cl", "µg/L as Cl2")
BY_MOLES: Final = Source(text="molar masses from IUPAC atomic weights", mark="computed")
_TOTAL: Final = (
    "Test for total chlorine: a free-chlorine test shows nothing of chloramine that still kills."
)

TOTAL_CHLORINE: Final = Input(
    name="chlorine",
    label="Total chlorine",
    unit="mg/L as Cl2",
    units=_CL2_UNITS,
    accepted=CHLORINE,
    needs_unit=True,
    doubt=Doubt(absolute=0.1),
    example="3 mg/L as Cl2",
    hint="Tests report chloramine as Cl2; read as NH2Cl it would be 1.38 times as much.",
)
_KIND: Final = Choice(
    name="kind",
    label="What the supply carries",
    options=(
        Option(value="chloramine", label="chloramine"),
        Option(value="chlorine", label="free chlorine only"),
        Option(value="unknown", label="nobody knows"),
    ),
    example="chloramine",
    hint="Ask the supplier; it may change without notice.",
)


def _by_crystals(*, chlorine: float, kind: str, volume: float, purity: float) -> Worked:
    return _take_out(
        chlorine=chlorine,
        kind=kind,
        neutraliser=Neutraliser.THIOSULFATE_PENTAHYDRATE.value,
        volume=volume,
        purity=purity,
    )


def _take_out(
    *, chlorine: float, kind: str, neutraliser: str, volume: float, purity: float
) -> Worked:
    agent = Neutraliser(neutraliser)
    grams = neutraliser_g(
        neutraliser=agent, total_chlorine_mg_l_cl2=chlorine, volume_l=volume, purity=purity
    )
    freed = 0.0 if kind == "chlorine" else tan_freed_mg_l_n(chloramine_mg_l_cl2=chlorine)
    return Worked(
        values={"amount": grams, "ammonia": freed},
        working=(
            f"{chlorine:.4g} mg/L × {volume:.4g} L = {chlorine * volume:.4g} mg of Cl2",
            f"× {MG_PER_MG_CL2[agent]:.4g} mg {agent} / purity {purity:g} / 1000 = {grams:.4g} g",
            f"ammonia freed: {chlorine:.4g} × {TAN_MG_N_PER_MG_CL2:.5f} = {freed:.3g} mg/L as N"
            if freed
            else "free chlorine leaves no ammonia",
        ),
        notes=tuple(_remarks(agent, kind)),
    )


def _remarks(agent: Neutraliser, kind: str) -> list[str]:
    notes = []
    if agent in _THIOSULFATES:
        printed = ", ".join(
            f"{thiosulfate_mg_per_mg_cl2(reaction=reaction, pentahydrate=True):.3g} ({reaction})"
            for reaction in Reaction
        )
        notes.append(f"Crystals for a mg of Cl2 by reaction: {printed}. The first is used.")
    if kind == "unknown":
        notes.append("Reckoned as all chloramine: the ammonia may be less.")
    if kind != "chlorine":
        notes.append("A utility's own excess of ammonia comes on top; the filter must take both.")
    return notes


_THIOSULFATES: Final = frozenset(
    {Neutraliser.THIOSULFATE_PENTAHYDRATE, Neutraliser.THIOSULFATE_ANHYDROUS}
)

_WATER: Final = replace(
    VOLUME,
    hint="The new water if it is treated apart; the whole tank if it is added in the tank.",
)
_OUTPUTS: Final = (
    Output(name="amount", label="Neutraliser", unit="g"),
    Output(name="ammonia", label="Ammonia freed", unit="mg/L as N", figures=2),
)
_FREES: Final = "chloramine: NH2Cl frees 14.007/70.90 = 0.198 mg of N per mg of Cl2"
_CAUTIONS: Final = (
    _TOTAL,
    "Test again before animals meet the water; sulfites take oxygen from it: aerate.",
)
_READS: Final = {"total_chlorine_mg_l_cl2": "chlorine", "chloramine_mg_l_cl2": "chlorine"}

DECHLORINATE: Final = Calculation(
    name="dechlorinate",
    question="How much thiosulfate takes up this chlorine or chloramine, and what ammonia is left?",
    subject=Subject.DISINFECTION,
    asks=(TOTAL_CHLORINE, _KIND, _WATER, PURITY),
    outputs=(replace(_OUTPUTS[0], label="Sodium thiosulfate crystals"), _OUTPUTS[1]),
    formula=(
        "grams of Na2S2O3·5H2O = mg/L as Cl2 × litres × 7.00 / purity / 1000\n"
        f"by 2 S2O3 + Cl2 → S4O6 + 2 Cl; {_FREES}"
    ),
    sources=(
        BY_MOLES,
        Source(text="7.0 mg of crystals per mg, note of an analytical laboratory", mark="found"),
    ),
    cautions=_CAUTIONS,
    solve=_by_crystals,
    doses=Dosed(substance="sodium thiosulfate", amount="amount", rise="chlorine"),
    arguments=_READS,
)
OTHER_NEUTRALISER: Final = Calculation(
    name="other-neutraliser",
    question="How much of another neutraliser takes up this chlorine or chloramine?",
    subject=Subject.DISINFECTION,
    asks=(
        TOTAL_CHLORINE,
        _KIND,
        Choice(
            name="neutraliser",
            label="Neutraliser and its form",
            options=options_from(Neutraliser),
            example=Neutraliser.ASCORBIC_ACID.value,
        ),
        _WATER,
        PURITY,
    ),
    outputs=_OUTPUTS,
    formula=f"grams = mg/L as Cl2 × litres × (mg per mg Cl2) / purity / 1000\n{_FREES}",
    sources=(
        BY_MOLES,
        Source(text="bisulfite 1.61, ascorbic acid 2.5 in a field guide, table 7-2", mark="found"),
    ),
    cautions=(*_CAUTIONS, "Ascorbic acid lowers pH and alkalinity a little: measure them."),
    solve=_take_out,
    arguments=_READS,
)


def _judged(*, chlorine: float, smallest: float, water: str) -> Worked:
    found = residual_chlorine(
        total_chlorine_mg_l_cl2=chlorine,
        smallest_shown_mg_l_cl2=smallest,
        is_salt_water=water == "salt",
    )
    return Worked(
        values={"times_acute": found.times_acute, "times_chronic": found.times_chronic},
        working=(
            (
                f"1-hour limit {1000 * found.acute_mg_l_cl2:g} µg/L: {chlorine:.4g} mg/L is "
                f"{found.times_acute:.3g} times that"
            ),
            f"4-day limit {1000 * found.chronic_mg_l_cl2:g} µg/L: {found.times_chronic:.3g} times",
        ),
        notes=(
            "The test would have shown the 4-day limit."
            if found.shows_chronic
            else f"A test that shows {smallest:g} mg/L at best cannot see the 4-day limit of "
            f"{found.chronic_mg_l_cl2:g} mg/L: a nought of it is no evidence.",
        ),
    )


CHLORINE_LIMIT: Final = Calculation(
    name="chlorine-limit",
    question="How does this total chlorine compare with the limits for aquatic life?",
    subject=Subject.DISINFECTION,
    asks=(
        replace(TOTAL_CHLORINE, example="0.05 mg/L as Cl2", doubt=Doubt(absolute=0.02)),
        Input(
            name="smallest",
            label="Smallest amount the test shows",
            unit="mg/L as Cl2",
            units=_CL2_UNITS,
            accepted=DETECTION,
            needs_unit=True,
            example="0.02 mg/L as Cl2",
            hint="From its leaflet: strips often 0.5, colour kits 0.1, photometers 0.01 to 0.02.",
        ),
        Choice(
            name="water",
            label="Water",
            options=(
                Option(value="fresh", label="fresh"),
                Option(value="salt", label="salt"),
            ),
            example="fresh",
        ),
    ),
    outputs=(
        Output(name="times_acute", label="Times the 1-hour limit", unit="", figures=2),
        Output(name="times_chronic", label="Times the 4-day limit", unit="", figures=2),
    ),
    formula="fresh 19 and 11 µg/L, salt 13 and 7.5 µg/L: 1-hour and 4-day averages",
    sources=(
        Source(text="US EPA 1985, EPA 440/5-84-030, as WAC 173-201A-240 restates it", mark="found"),
        Source(text="detection limits of usual tests", mark="common practice"),
    ),
    cautions=(_TOTAL,),
    solve=_judged,
    arguments={"total_chlorine_mg_l_cl2": "chlorine", "smallest_shown_mg_l_cl2": "smallest"},
)


CALCULATIONS: Final = (DECHLORINATE, OTHER_NEUTRALISER, CHLORINE_LIMIT)
