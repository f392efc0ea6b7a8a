"""Feed, the ammonia it becomes, what that takes, and the feed a pass certifies."""

from dataclasses import replace
from typing import Final

from chemistry.alkalinity import dkh_from_meq_l
from chemistry.calculator.inputs import AMMONIA_UNITS, VOLUME, WEIGHT_UNITS
from chemistry.calculator.terms import (
    Calculation,
    Doubt,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.domain import CONCENTRATION, GRAMS
from chemistry.feed import (
    PROTEIN_DRY,
    TAN_G_PER_G_PROTEIN,
    WATER,
    alkalinity_used_meq_l,
    certified_feed_g_day,
    challenge_for_feed_mg_l_n,
    daily_use,
    oxygen_used_mg_l,
    protein_as_fed,
)
from chemistry.nitrification import IN_USE, MODELS

_FEED_SOURCE: Final = Source(
    text="Timmons & Ebeling 2013, Recirculating Aquaculture: feed × protein × 0.092", mark="found"
)
_MOLES: Final = Source(text=IN_USE.name + ", molar ratios", mark="computed")
_OTHERS: Final = tuple(
    f"{model.name}: {model.oxygen_mg:.2f} mg O2"
    + (f", {model.alkalinity_mg_caco3:.2f} mg CaCO3" if model.alkalinity_mg_caco3 else "")
    + f" [{model.mark}]"
    for model in MODELS
)
_UNEVEN: Final = (
    "A day's mean: ammonia peaks some hours after a meal. Watch TAN and nitrite, not the sum."
)
_STEPS: Final = "Come up to it in steps, each after days of clean readings (common practice)."

_FEED: Final = Input(
    name="feed",
    label="Feed a day",
    unit="g",
    units=WEIGHT_UNITS,
    accepted=GRAMS,
    needs_unit=True,
    doubt=Doubt(relative=0.05),
    example="20 g",
    hint="As weighed out.",
)
_PROTEIN: Final = Input(
    name="protein",
    label="Protein",
    unit="",
    units=("", "%"),
    accepted=PROTEIN_DRY,
    doubt=Doubt(relative=0.05),
    example="45 %",
    hint="As the label has it; 45 % or 0.45.",
)
_WATER: Final = Input(
    name="water",
    label="Water in the food, where the label gives protein of the dry food",
    unit="",
    units=("", "%"),
    accepted=WATER,
    default="0",
    example="0",
    hint="0 for dry food or where protein is given as fed; frozen food holds about 80 %.",
)


def _day(*, feed: float, protein: float, water: float, volume: float) -> Worked:
    as_fed = protein_as_fed(protein_dry_share=protein, water_share=water)
    use = daily_use(feed_g_day=feed, protein_share=as_fed, volume_l=volume)
    return Worked(
        values={
            "tan": use.tan_mg_l_n,
            "tan_g": use.tan_g,
            "oxygen": use.oxygen_g,
            "alkalinity": use.alkalinity_meq_l,
            "bicarbonate": use.bicarbonate_g,
        },
        working=(
            f"protein as fed = {protein:.4g} × (1 − {water:.4g}) = {as_fed:.4g}",
            (
                f"{feed:.4g} g × {as_fed:.4g} × {TAN_G_PER_G_PROTEIN} = {use.tan_g:.4g} g of "
                "ammonia nitrogen a day"
            ),
            f"× 1000 / {volume:.4g} L = {use.tan_mg_l_n:.4g} mg/L a day, and as much nitrate as N",
            (
                f"oxygen × {IN_USE.oxygen_mg:.3f}; alkalinity × 2/14.007 = "
                f"{use.alkalinity_meq_l:.4g} meq/L = "
                f"{dkh_from_meq_l(alkalinity_meq_l=use.alkalinity_meq_l):.3g} dKH a day"
            ),
        ),
    )


FEED_LOAD: Final = Calculation(
    name="feed-load",
    question="What does a day's feed become, and what does its oxidation take?",
    subject=Subject.FEEDING,
    asks=(_FEED, _PROTEIN, _WATER, VOLUME),
    outputs=(
        Output(name="tan", label="Total ammonia made a day", unit="mg/L as N"),
        Output(name="tan_g", label="that is", unit="g"),
        Output(name="oxygen", label="Oxygen its oxidation takes a day", unit="g"),
        Output(name="alkalinity", label="Alkalinity it takes a day", unit="meq/L"),
        Output(name="bicarbonate", label="Sodium bicarbonate to replace that", unit="g"),
    ),
    formula=(
        "TAN (g) = feed × protein × 0.092\n"
        "0.092 = 0.16 N in protein × 0.80 assimilated × 0.80 excreted × 0.90 as TAN\n"
        "NH4+ + 2 O2 → NO3- + 2 H+ + H2O: 4.57 mg O2 and 0.143 meq for a mg of N"
    ),
    sources=(_FEED_SOURCE, _MOLES),
    cautions=(_UNEVEN,),
    solve=_day,
    arguments={
        "protein_dry_share": "protein",
        "protein_share": "protein",
        "water_share": "water",
        "oxidised_mg_l_n": "feed",
    },
)

_CLEARED: Final = Input(
    name="cleared",
    label="Cleared in a 24-hour pass",
    unit="mg/L as N",
    units=AMMONIA_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    doubt=Doubt(relative=0.10),
    example="2 mg/L as N",
)


def _certified(*, cleared: float, protein: float, water: float, volume: float) -> Worked:
    as_fed = protein_as_fed(protein_dry_share=protein, water_share=water)
    grams = certified_feed_g_day(cleared_mg_l_n=cleared, volume_l=volume, protein_share=as_fed)
    return Worked(
        values={"feed": grams},
        working=(
            f"{cleared:.4g} mg/L × {volume:.4g} L = {cleared * volume / 1000:.4g} g of nitrogen",
            f"/ ({as_fed:.4g} × {TAN_G_PER_G_PROTEIN}) = {grams:.4g} g a day",
        ),
    )


CERTIFIED_FEED: Final = Calculation(
    name="certified-feed",
    question="How much feed a day does a 24-hour pass certify?",
    subject=Subject.FEEDING,
    asks=(_CLEARED, _PROTEIN, _WATER, VOLUME),
    outputs=(Output(name="feed", label="Feed a day", unit="g"),),
    formula="feed = cleared (mg/L as N) × litres / (1000 × protein × 0.092)",
    sources=(_FEED_SOURCE,),
    cautions=(
        "For this water at the temperature, salinity and pH of the pass only.",
        _STEPS,
        _UNEVEN,
    ),
    solve=_certified,
    arguments={
        "cleared_mg_l_n": "cleared",
        "protein_dry_share": "protein",
        "protein_share": "protein",
        "water_share": "water",
    },
)


def _challenge(*, feed: float, protein: float, water: float, volume: float) -> Worked:
    as_fed = protein_as_fed(protein_dry_share=protein, water_share=water)
    dose = challenge_for_feed_mg_l_n(feed_g_day=feed, volume_l=volume, protein_share=as_fed)
    return Worked(
        values={"challenge": dose},
        working=(
            (
                f"{feed:.4g} g × {as_fed:.4g} × {TAN_G_PER_G_PROTEIN} × 1000 / {volume:.4g} L = "
                f"{dose:.4g} mg/L as N"
            ),
        ),
    )


CHALLENGE_FOR_FEED: Final = Calculation(
    name="challenge-for-feed",
    question="What 24-hour challenge proves the filter for this feed?",
    subject=Subject.FEEDING,
    asks=(_FEED, _PROTEIN, _WATER, VOLUME),
    outputs=(Output(name="challenge", label="Challenge", unit="mg/L as N"),),
    formula="challenge = feed × protein × 0.092 × 1000 / litres",
    sources=(_FEED_SOURCE,),
    cautions=("In a water without animals only; see ammonium-chloride-dose.", _STEPS),
    solve=_challenge,
    arguments={
        "protein_dry_share": "protein",
        "protein_share": "protein",
        "water_share": "water",
    },
)


def _oxidised(*, oxidised: float, volume: float) -> Worked:
    alkalinity = alkalinity_used_meq_l(oxidised_mg_l_n=oxidised)
    oxygen = oxygen_used_mg_l(oxidised_mg_l_n=oxidised)
    return Worked(
        values={"alkalinity": alkalinity, "oxygen": oxygen, "oxygen_g": oxygen * volume / 1000},
        working=(
            (
                f"{oxidised:.4g} mg/L as N × 2/14.007 = {alkalinity:.4g} meq/L = "
                f"{dkh_from_meq_l(alkalinity_meq_l=alkalinity):.4g} dKH"
            ),
            f"{oxidised:.4g} × {IN_USE.oxygen_mg:.3f} = {oxygen:.4g} mg/L of oxygen",
        ),
        notes=("In print, for a mg of nitrogen:", *_OTHERS),
        method=IN_USE.name,
    )


NITRIFICATION_USE: Final = Calculation(
    name="nitrification-use",
    question="How much alkalinity and oxygen does oxidising this ammonia take?",
    subject=Subject.FEEDING,
    asks=(
        replace(
            _CLEARED, name="oxidised", label="Ammonia oxidised to nitrate", example="4 mg/L as N"
        ),
        VOLUME,
    ),
    outputs=(
        Output(name="alkalinity", label="Alkalinity taken", unit="meq/L"),
        Output(name="oxygen", label="Oxygen taken", unit="mg/L"),
        Output(name="oxygen_g", label="that is", unit="g"),
    ),
    formula="NH4+ + 2 O2 → NO3- + 2 H+ + H2O: 4.569 mg O2 and 0.14279 meq for a mg of N",
    sources=(
        _MOLES,
        Source(text="4.57 in wastewater texts; measured 6.3 to 7.4 mg CaCO3", mark="found"),
    ),
    cautions=(
        "Below about 40 mg/L CaCO3 nitrifiers slow; top alkalinity up before that, not after.",
    ),
    solve=_oxidised,
)

CALCULATIONS: Final = (FEED_LOAD, CERTIFIED_FEED, CHALLENGE_FOR_FEED, NITRIFICATION_USE)
