"""Raising pH in a water that holds ammonia."""

from dataclasses import replace
from typing import Final

from chemistry.alkalinity import sodium_bicarbonate_g
from chemistry.calculator.alkalinity import RISE_ASKED
from chemistry.calculator.carbonate import AIR, AIR_ARGUMENT, OTHER_BUFFERS, SOURCES
from chemistry.calculator.inputs import (
    ALKALINITY,
    AMMONIA_UNITS,
    PH,
    PH_SCALE,
    SALINITY,
    TAN,
    TEMPERATURE,
    VOLUME,
)
from chemistry.calculator.terms import Calculation, Dosed, Input, Output, Source, Subject, Worked
from chemistry.carbonate_constants import Water
from chemistry.domain import CONCENTRATION
from chemistry.ph_scales import PhScale
from chemistry.raising_acts import acts_for
from chemistry.raising_ph import Asked, Plan, Way, plan_of

_LIMIT: Final = Input(
    name="limit",
    label="Un-ionised ammonia not to be passed",
    unit="mg/L as N",
    units=AMMONIA_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    default="0.019 mg/L as NH3",
    example="0.019 mg/L as NH3",
    hint="0.019 mg/L as NH3 is the Canadian guideline for fresh water.",
)
_WAYS: Final = {
    Way.NOTHING: "now",
    Way.AERATION: "aeration",
    Way.BICARBONATE: "bicarbonate",
    Way.BICARBONATE_AIRED: "bicarbonate_aired",
    Way.CARBONATE: "carbonate",
    Way.CARBONATE_AIRED: "carbonate_aired",
}


def _raised(  # noqa: PLR0913 - one keyword for each ask
    *,
    tan: float,
    ph: float,
    scale: str,
    temperature: float,
    salinity: float,
    alkalinity: float,
    rise: float,
    volume: float,
    limit: float,
    air: float,
) -> Worked:
    asked = Asked(
        water=Water(temperature_c=temperature, salinity_g_kg=salinity, tan_mg_l_n=tan),
        alkalinity_meq_l=alkalinity,
        ph=ph,
        ph_scale=PhScale(scale),
        rise_meq_l=rise,
        limit_mg_l_n=limit,
        air_uatm=air,
    )
    plan = plan_of(asked)
    grams = sodium_bicarbonate_g(rise_meq_l=rise, volume_l=volume)
    return Worked(
        values={
            **{f"nh3_{key}": plan.outcomes[way].unionised_mg_l_n for way, key in _WAYS.items()},
            **{f"ph_{key}": plan.outcomes[way].ph for way, key in _WAYS.items()},
            "tan_at_most": plan.tan_at_most_mg_l_n,
            "dilute": 100 * plan.dilute_share,
            "bicarbonate_amount": grams,
            "parts": float(plan.steps),
        },
        working=_raising_working(tan, plan),
        notes=(*acts_for(asked, plan), *plan.notes),
        method=plan.method,
    )


def _raising_working(tan: float, plan: Plan) -> tuple[str, ...]:
    return tuple(
        f"{way.value}: pH {one.ph:.2f}, share {one.fraction:.3g}, "
        f"{tan:.3g} × {one.fraction:.3g} = {one.unionised_mg_l_n:.2g} mg/L as N"
        for way, one in plan.outcomes.items()
    )


def _pair(key: str, label: str) -> tuple[Output, Output]:
    return (
        Output(name=f"nh3_{key}", label=f"NH3 {label}", unit="mg/L as N", figures=2),
        Output(name=f"ph_{key}", label=f"pH {label}", unit=""),
    )


RAISE_PH: Final = Calculation(
    name="raise-ph",
    question="How can pH be raised when there is ammonia in the water, and in which order?",
    subject=Subject.ALKALINITY,
    asks=(
        replace(TAN, example="1.5 mg/L as N"),
        replace(PH, example="6.8"),
        PH_SCALE,
        TEMPERATURE,
        replace(SALINITY, example="0"),
        replace(ALKALINITY, example="0.6 meq/L"),
        RISE_ASKED,
        VOLUME,
        _LIMIT,
        AIR,
    ),
    outputs=(
        *_pair("now", "now"),
        *_pair("bicarbonate", "at once with bicarbonate"),
        *_pair("bicarbonate_aired", "with bicarbonate, then aeration"),
        *_pair("aeration", "with aeration alone"),
        *_pair("carbonate", "at once with carbonate"),
        *_pair("carbonate_aired", "with carbonate, then aeration"),
        Output(
            name="tan_at_most", label="Total ammonia to come down to", unit="mg/L as N", figures=2
        ),
        Output(name="dilute", label="Water to change for it", unit="%", figures=2),
        Output(name="bicarbonate_amount", label="Sodium bicarbonate", unit="g"),
        Output(name="parts", label="Parts, one a day", unit="", figures=1),
    ),
    formula=(
        "pH after each act: where the new carbon carries the new alkalinity\n"
        "NH3 = total ammonia × share at that pH; ammonia to come down to = limit / highest share"
    ),
    sources=(
        *SOURCES,
        Source(text="Emerson et al. 1975; US EPA 1989; Clegg & Whitfield 1995", mark="computed"),
        Source(text="At most 0.3 pH a day", mark="common practice"),
        Source(text="Limit 0.019 mg/L as NH3: CCME 2010, in a public code", mark="found"),
    ),
    cautions=(
        OTHER_BUFFERS,
        "Fish in distress: change water and aerate first, and ask a licensed veterinarian.",
    ),
    doses=Dosed(
        substance="sodium bicarbonate",
        amount="bicarbonate_amount",
        raises="alkalinity",
        rise="rise",
    ),
    solve=_raised,
    arguments={**AIR_ARGUMENT, "carbon_mmol_l": "rise"},
)

CALCULATIONS: Final = (RAISE_PH,)
