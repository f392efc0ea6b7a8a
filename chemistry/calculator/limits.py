"""Published limits of ammonia for aquatic life, each in its own basis and beside a reading."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from chemistry.ammonium import emerson_fraction, epa_1989_fraction
from chemistry.calculator.inputs import PH, SALINITY, TAN, TEMPERATURE
from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Option,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.criteria import (
    SALT_ACUTE_UNIONISED_MG_L_NH3,
    SALT_CHRONIC_UNIONISED_MG_L_NH3,
    fresh_acute_mg_l_n,
    fresh_acute_with_salmonids_mg_l_n,
    fresh_chronic_mg_l_n,
    fresh_four_day_mg_l_n,
    salt_acute_mg_l_n,
    salt_acute_mg_l_nh3,
    salt_chronic_mg_l_n,
    salt_chronic_mg_l_nh3,
)
from chemistry.nitrogen import Basis, from_nitrogen
from chemistry.other_criteria import (
    CCME_UNIONISED_MG_L_NH3,
    ccme_2010_mg_l_n,
    fresh_1999_acute_mg_l_n,
    fresh_1999_acute_with_salmonids_mg_l_n,
    fresh_1999_chronic_mg_l_n,
)

_READING: Final = replace(TAN, optional=True, label="Total ammonia, to compare")
_CAUTION: Final = (
    "Limits for wild fauna, not for a tank: many species need less. Which one binds you is for "
    "the local authority to say; for sick animals ask a licensed veterinarian."
)
_OUTPUTS_N: Final = (
    Output(name="acute", label="1-hour limit of total ammonia", unit="mg/L as N", figures=2),
    Output(name="chronic", label="30-day limit of total ammonia", unit="mg/L as N", figures=2),
)


def _shares(tan: float | None, limits: Mapping[str, float]) -> tuple[str, ...]:
    """Return one note for each limit that the reading is held against."""
    if tan is None:
        return ()
    return tuple(
        f"{tan:.3g} mg/L as N is {tan / limit:.2g} times the {name}: "
        f"{'over' if tan > limit else 'within'} it."
        for name, limit in limits.items()
    )


def _fresh_limits(
    *, ph: float, temperature: float, salmonids: str, tan: float | None = None
) -> Worked:
    present = salmonids == "present"
    acute_by = fresh_acute_with_salmonids_mg_l_n if present else fresh_acute_mg_l_n
    acute = acute_by(ph=ph, temperature_c=temperature)
    chronic = fresh_chronic_mg_l_n(ph=ph, temperature_c=temperature)
    four_day = fresh_four_day_mg_l_n(ph=ph, temperature_c=temperature)
    return Worked(
        values={
            "acute": acute,
            "chronic": chronic,
            "four_day": four_day,
            "acute_as_nh3": from_nitrogen(acute, basis=Basis.NH3),
            "chronic_as_nh3": from_nitrogen(chronic, basis=Basis.NH3),
        },
        working=(
            f"1 hour, salmonids {salmonids}, pH {ph:g}, {temperature:.4g} °C: {acute:.3g} as N",
            f"30 days: {chronic:.3g} as N; highest 4 days: 2.5 × {chronic:.3g} = {four_day:.3g}",
            (
                f"as NH3: × 1.2159 = {from_nitrogen(acute, basis=Basis.NH3):.3g} and "
                f"{from_nitrogen(chronic, basis=Basis.NH3):.3g}"
            ),
        ),
        notes=_shares(tan, {"1-hour limit": acute, "30-day limit": chronic}),
        method="US EPA 2013",
    )


_SALMONIDS: Final = Choice(
    name="salmonids",
    label="Trout, salmon or their kin",
    options=(Option(value="present", label="present"), Option(value="absent", label="absent")),
    example="absent",
)

FRESH_LIMITS: Final = Calculation(
    name="fresh-ammonia-limits",
    question="Which limit of ammonia holds in fresh water at this pH and temperature?",
    subject=Subject.AMMONIA,
    asks=(PH, TEMPERATURE, _SALMONIDS, _READING),
    outputs=(
        *_OUTPUTS_N,
        Output(name="four_day", label="Highest 4-day average", unit="mg/L as N", figures=2),
        Output(name="acute_as_nh3", label="1-hour limit as NH3", unit="mg/L as NH3", figures=2),
        Output(name="chronic_as_nh3", label="30-day limit as NH3", unit="mg/L as NH3", figures=2),
    ),
    formula=(
        "1 hour = A(pH) × min(51.93, 23.12 × 10^(0.036 (20 − t))), at most the salmonids' own\n"
        "30 days = C(pH) × 2.126 × 10^(0.028 (20 − max(t, 7)))\n"
        "A, C = sums of two terms a / (1 + 10^(b − pH)) + c / (1 + 10^(pH − b))"
    ),
    sources=(
        Source(
            text="US EPA 2013, EPA 822-R-13-001, through Oregon's Tables 30(a)-(c)", mark="found"
        ),
        Source(text="4-day average of 2.5 times the 30-day limit, kept from 1999", mark="memory"),
    ),
    cautions=(_CAUTION,),
    solve=_fresh_limits,
)


def _salt_limits(
    *, ph: float, temperature: float, salinity: float, tan: float | None = None
) -> Worked:
    water = {"ph": ph, "temperature_c": temperature, "salinity_g_kg": salinity}
    acute, chronic = salt_acute_mg_l_nh3(**water), salt_chronic_mg_l_nh3(**water)
    acute_n, chronic_n = salt_acute_mg_l_n(**water), salt_chronic_mg_l_n(**water)
    share = epa_1989_fraction(**water)
    return Worked(
        values={
            "acute_as_nh3": acute,
            "chronic_as_nh3": chronic,
            "acute": acute_n,
            "chronic": chronic_n,
        },
        working=(
            f"un-ionised share = {share:.4g} (US EPA 1989)",
            f"1 hour: {SALT_ACUTE_UNIONISED_MG_L_NH3:g} / {share:.4g} = {acute:.3g} as NH3",
            f"4 days: {SALT_CHRONIC_UNIONISED_MG_L_NH3:g} / {share:.4g} = {chronic:.3g} as NH3",
            f"as N: × 0.82244 = {acute_n:.3g} and {chronic_n:.3g}",
        ),
        notes=_shares(tan, {"1-hour limit": acute_n, "4-day limit": chronic_n}),
        method="US EPA 1989",
    )


SALT_LIMITS: Final = Calculation(
    name="salt-ammonia-limits",
    question="Which limit of ammonia holds in salt water at this pH and temperature?",
    subject=Subject.AMMONIA,
    asks=(
        replace(PH, label="pH on the NBS scale", hint="As an ordinary meter or a kit reads it."),
        TEMPERATURE,
        SALINITY,
        _READING,
    ),
    outputs=(
        Output(name="acute_as_nh3", label="1-hour limit of total", unit="mg/L as NH3", figures=2),
        Output(name="chronic_as_nh3", label="4-day limit of total", unit="mg/L as NH3", figures=2),
        Output(name="acute", label="1-hour limit as N", unit="mg/L as N", figures=2),
        Output(name="chronic", label="4-day limit as N", unit="mg/L as N", figures=2),
    ),
    formula=(
        "limit of total ammonia = limit of NH3 / un-ionised share\n"
        "NH3: 0.233 mg/L for 1 hour, 0.035 mg/L for 4 days, as NH3 and not as N"
    ),
    sources=(
        Source(text="US EPA 1989, EPA 440/5-88-004", mark="computed"),
        Source(text="0.233 and 0.035 as NH3: Washington WAC 173-201A-240", mark="found"),
    ),
    cautions=(_CAUTION, "Three entries of public copies of the 1989 table do not fit its formula."),
    solve=_salt_limits,
)


def _other_limits(*, ph: float, temperature: float, tan: float | None = None) -> Worked:
    acute = fresh_1999_acute_mg_l_n(ph=ph)
    salmonids = fresh_1999_acute_with_salmonids_mg_l_n(ph=ph)
    chronic = fresh_1999_chronic_mg_l_n(ph=ph, temperature_c=temperature)
    canadian = ccme_2010_mg_l_n(ph=ph, temperature_c=temperature)
    share = emerson_fraction(ph=ph, temperature_c=temperature)
    return Worked(
        values={
            "acute": acute,
            "acute_with_salmonids": salmonids,
            "chronic": chronic,
            "canadian": canadian,
            "canadian_unionised": CCME_UNIONISED_MG_L_NH3,
        },
        working=(
            (
                f"1999, pH {ph:g}: 1 hour {acute:.3g}, with salmonids {salmonids:.3g}; 30 days at "
                f"{temperature:.4g} °C {chronic:.3g}"
            ),
            f"Canada: {CCME_UNIONISED_MG_L_NH3:g} / {share:.4g} × 0.82244 = {canadian:.3g} as N",
        ),
        notes=(
            "The 1999 limits were replaced in 2013 by about half as high ones.",
            *_shares(tan, {"1999 30-day limit": chronic, "Canadian guideline": canadian}),
        ),
        method="US EPA 1999; CCME 2010",
    )


OTHER_LIMITS: Final = Calculation(
    name="other-ammonia-limits",
    question="Which older or Canadian limits of ammonia do some rules still carry?",
    subject=Subject.AMMONIA,
    asks=(PH, TEMPERATURE, _READING),
    outputs=(
        *_OUTPUTS_N,
        Output(name="acute_with_salmonids", label="1 hour, salmonids", unit="mg/L as N", figures=2),
        Output(name="canadian", label="Canada, total ammonia", unit="mg/L as N", figures=2),
        Output(name="canadian_unionised", label="Canada, NH3", unit="mg/L as NH3", figures=2),
    ),
    formula=(
        "1999: a / (1 + 10^(b − pH)) + c / (1 + 10^(pH − b)); 30 days × min(2.85, 1.45 × "
        "10^(0.028 (25 − t)))\nCanada: 0.019 mg/L as NH3 / un-ionised share (Emerson)"
    ),
    sources=(
        Source(text="US EPA 1999, in South Dakota rule 74:51:01 App. A", mark="found"),
        Source(text="CCME 2010, in a public code of the guideline", mark="found"),
    ),
    cautions=(_CAUTION,),
    solve=_other_limits,
)

CALCULATIONS: Final = (FRESH_LIMITS, SALT_LIMITS, OTHER_LIMITS)
