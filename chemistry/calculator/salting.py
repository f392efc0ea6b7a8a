"""A new batch of salt water, salinity up and down, and what evaporates."""

from dataclasses import replace
from typing import Final

from chemistry.blending import ADDED, after_evaporation_g_kg, batch, top_up_l
from chemistry.calculator.inputs import PURITY, SALINITY, TEMPERATURE, VOLUME, VOLUME_UNITS
from chemistry.calculator.reaching import reaching
from chemistry.calculator.terms import (
    Calculation,
    Dosed,
    Input,
    Output,
    Source,
    Subject,
    Worked,
)
from chemistry.dilution import salinity_exchange_l, salt_g
from chemistry.domain import Range
from chemistry.salinity import BRINE, density_kg_l, salt_share

_TEOS: Final = Source(
    text="mass balance on TEOS-10 densities and reference salinity, gsw 3.6", mark="computed"
)
_NO_ANIMALS: Final = "Never dissolve dry salt in a tank that holds animals; mix, settle, measure."
_SLOWLY: Final = (
    "With animals salinity goes up by 1 to 2 g/kg a day and down faster for most fish, not for "
    "invertebrates (common practice, sources conflict)."
)
_MEASURE: Final = "Mixes differ in moisture: weigh, mix, measure, then trim."
_SHARE: Final = replace(
    PURITY,
    label="Sea salt in a gram of the mix (1 is dry)",
    accepted=Range(name="sea salt in a gram of the mix", unit="", low=0.5, high=1.0),
    example="0.95",
    hint="36 to 40 g of mix in a litre at 35 g/kg is common practice: about 0.9 to 1.",
)
_TARGET: Final = replace(
    SALINITY, name="target", label="Salinity wanted", fills_from="", doubt=None, example="35"
)


def _new_batch(*, volume: float, target: float, temperature: float, share: float) -> Worked:
    mixed = batch(volume_l=volume, salinity_g_kg=target, temperature_c=temperature, purity=share)
    density = density_kg_l(salinity_g_kg=target, temperature_c=temperature)
    return Worked(
        values={"salt": mixed.salt_g / 1000, "fresh": mixed.fresh_l},
        working=(
            f"{volume:.4g} L × {density:.5f} kg/L = {volume * density:.5g} kg when mixed",
            (
                f"salt = that × {1000 * salt_share(target):.4g} g/kg / {share:g} = "
                f"{mixed.salt_g / 1000:.4g} kg"
            ),
            f"fresh water = the rest = {mixed.fresh_l:.5g} L",
        ),
    )


NEW_SALT_WATER: Final = Calculation(
    name="new-salt-water",
    question="How much salt mix and fresh water make this much salt water?",
    subject=Subject.SALINITY,
    asks=(
        replace(VOLUME, label="Salt water wanted", fills_from="", doubt=None, example="200 L"),
        _TARGET,
        TEMPERATURE,
        replace(_SHARE, name="share"),
    ),
    outputs=(
        Output(name="salt", label="Salt mix to weigh", unit="kg"),
        Output(name="fresh", label="Fresh water", unit="L", figures=4),
    ),
    formula=(
        "kg of mix = L × density(S, t) × S × 35.16504/35 / 1000 / share\n"
        "L of fresh water = (L × density(S, t) − kg of mix) / density(0, t)"
    ),
    sources=(_TEOS,),
    cautions=(_MEASURE, _NO_ANIMALS),
    solve=_new_batch,
    arguments={"salinity_g_kg": "target", "purity": "share"},
)


def _salt_up(
    *, volume: float, salinity: float, target: float, temperature: float, share: float
) -> Worked:
    with reaching("target"):
        grams = salt_g(
            volume_l=volume,
            salinity_g_kg=salinity,
            target_g_kg=target,
            temperature_c=temperature,
            purity=share,
        )
    return Worked(
        values={"salt": grams, "rise": target - salinity},
        working=(
            (
                f"pure water in the tank = {volume:.4g} L × "
                f"{density_kg_l(salinity_g_kg=salinity, temperature_c=temperature):.5f} kg/L × "
                f"(1 − {salt_share(salinity):.5f})"
            ),
            (
                f"salt for each kg of it from {salinity:.4g} to {target:.4g} g/kg, / {share:g}, "
                f"together {grams:.4g} g"
            ),
        ),
        notes=(_NO_ANIMALS,),
    )


RAISE_SALINITY_WITH_SALT: Final = Calculation(
    name="raise-salinity-with-salt",
    question="How much dry salt lifts the salinity of a tank without animals?",
    subject=Subject.SALINITY,
    asks=(
        VOLUME,
        replace(SALINITY, label="Salinity now", example="18"),
        _TARGET,
        TEMPERATURE,
        replace(_SHARE, name="share"),
    ),
    outputs=(
        Output(name="salt", label="Salt mix to dissolve", unit="g"),
        Output(name="rise", label="Rise", unit="g/kg"),
    ),
    formula=(
        "grams = 1000 × kg of pure water × (s2/(1 − s2) − s1/(1 − s1)) / salt in a gram of mix\n"
        "s = S × 35.16504/35 / 1000, before and after"
    ),
    sources=(_TEOS,),
    cautions=(_NO_ANIMALS, _MEASURE),
    solve=_salt_up,
    doses=Dosed(substance="sea salt", amount="salt", raises="salinity", rise="rise"),
    arguments={"purity": "share"},
)


def _exchange(
    *, volume: float, salinity: float, target: float, source: float, temperature: float
) -> Worked:
    with reaching("target"):
        litres = salinity_exchange_l(
            volume_l=volume,
            salinity_g_kg=salinity,
            target_g_kg=target,
            source_g_kg=source,
            temperature_c=temperature,
        )
    plainly = abs(target - salinity) / abs(source - salinity) if source != salinity else 0.0
    return Worked(
        values={"exchange": litres, "share": litres / volume},
        working=(
            (
                f"by salinity alone ({salinity:.4g} − {target:.4g}) / "
                f"({salinity:.4g} − {source:.4g}) = {plainly:.4g} of the water"
            ),
            f"with the densities at {temperature:.4g} °C: {litres:.4g} L of {volume:.4g} L",
        ),
    )


CHANGE_SALINITY: Final = Calculation(
    name="change-salinity",
    question="How much water is exchanged for fresher or saltier water to reach a salinity?",
    subject=Subject.SALINITY,
    asks=(
        VOLUME,
        replace(SALINITY, label="Salinity now", example="35"),
        replace(_TARGET, example="14"),
        replace(
            _TARGET,
            name="source",
            label="Salinity of the water coming in (0 is fresh)",
            accepted=BRINE,
            example="0",
        ),
        TEMPERATURE,
    ),
    outputs=(
        Output(name="exchange", label="To drain and replace", unit="L"),
        Output(name="share", label="Share of the water (1 is all)", unit=""),
    ),
    formula=(
        "litres = V × d1 (S1 − S2) / (d1 (S1 − S2) + d0 (S2 − S0)), d = density\n"
        "S1 now, S2 wanted, S0 coming in; both waters equally warm"
    ),
    sources=(_TEOS,),
    cautions=(_SLOWLY, "Switch the top-up off meanwhile: it fights the change."),
    solve=_exchange,
)

_GONE: Final = Input(
    name="evaporated",
    label="Evaporated",
    unit="L",
    units=VOLUME_UNITS,
    accepted=ADDED,
    example="5 L",
)


def _evaporated(*, volume: float, salinity: float, evaporated: float, temperature: float) -> Worked:
    after = after_evaporation_g_kg(
        volume_l=volume,
        salinity_g_kg=salinity,
        evaporated_l=evaporated,
        temperature_c=temperature,
    )
    return Worked(
        values={"after": after, "rise": after - salinity},
        working=(
            f"salt stays, {evaporated:.4g} L of pure water go: {salinity:.4g} → {after:.4g} g/kg",
        ),
        notes=("Replace it with fresh water; salt water instead adds as much again each time.",),
    )


EVAPORATION: Final = Calculation(
    name="evaporation",
    question="What does evaporation do to salinity?",
    subject=Subject.SALINITY,
    asks=(VOLUME, SALINITY, _GONE, TEMPERATURE),
    outputs=(
        Output(name="after", label="Salinity after", unit="g/kg", figures=4),
        Output(name="rise", label="Rise", unit="g/kg", figures=2),
    ),
    formula="S after = S before / (1 − kg evaporated / kg before)",
    sources=(_TEOS,),
    cautions=(_SLOWLY,),
    solve=_evaporated,
    arguments={"evaporated_l": "evaporated"},
)


def _fresh_in(*, volume: float, salinity: float, target: float, temperature: float) -> Worked:
    with reaching("target"):
        litres = top_up_l(
            volume_l=volume,
            salinity_g_kg=salinity,
            target_g_kg=target,
            temperature_c=temperature,
        )
    return Worked(
        values={"fresh": litres},
        working=(
            f"kg in the tank × ({salinity:.4g} / {target:.4g} − 1), as fresh water: {litres:.4g} L",
        ),
        notes=("Nothing is drained: see that the tank and its sump have room for it.",),
    )


TOP_UP: Final = Calculation(
    name="top-up",
    question="How much fresh water, added without draining, brings salinity down to this?",
    subject=Subject.SALINITY,
    asks=(
        VOLUME,
        replace(SALINITY, label="Salinity now", example="36.2"),
        _TARGET,
        TEMPERATURE,
    ),
    outputs=(Output(name="fresh", label="Fresh water to add", unit="L"),),
    formula="L = V × density(S1, t) × (S1/S2 − 1) / density(0, t)",
    sources=(_TEOS,),
    cautions=(_SLOWLY,),
    solve=_fresh_in,
)

CALCULATIONS: Final = (
    NEW_SALT_WATER,
    RAISE_SALINITY_WITH_SALT,
    CHANGE_SALINITY,
    EVAPORATION,
    TOP_UP,
)
