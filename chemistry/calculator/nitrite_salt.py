"""Table salt against nitrite, by an ordered ratio of chloride."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import NITRITE, VOLUME
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
from chemistry.domain import CONCENTRATION
from chemistry.nitrogen import Basis, from_nitrogen
from chemistry.salts import FACTS, Salt
from chemistry.treatments import CAUTION, RATIO, NitriteCounted, sodium_chloride_mg_l

_CHLORIDE_SHARE: Final = FACTS[Salt.SODIUM_CHLORIDE].share


def _salted(
    *, nitrite: float, ratio: float, counted: str, chloride: float, volume: float
) -> Worked:
    basis = NitriteCounted(counted)
    salt = sodium_chloride_mg_l(
        nitrite_mg_l_n=nitrite, ratio=ratio, counted_as=basis, chloride_mg_l=chloride
    )
    read = Basis.NO2 if basis is NitriteCounted.ION else Basis.N
    amount = from_nitrogen(nitrite, basis=read)
    return Worked(
        values={"amount": salt * volume / 1000, "salt": salt},
        working=(
            (
                f"{ratio:g} × {amount:.4g} mg/L of {basis} = {ratio * amount:.4g} mg/L of chloride "
                f"wanted, {chloride:.4g} there"
            ),
            f"the rest / {_CHLORIDE_SHARE:.4f} = {salt:.4g} mg/L of salt",
            f"× {volume:.4g} L / 1000 = {salt * volume / 1000:.4g} g",
        ),
        notes=(
            (
                "In use are 5:1 to 10:1 (common practice, no source). Salt buys time: the nitrite "
                "has to go by water changes and a filter that oxidises it."
            ),
        ),
    )


SALT_AGAINST_NITRITE: Final = Calculation(
    name="salt-against-nitrite",
    question="How much table salt brings chloride to an ordered ratio to nitrite in fresh water?",
    subject=Subject.TREATMENT,
    asks=(
        replace(NITRITE, example="1 mg/L as N"),
        Input(
            name="ratio",
            label="Chloride to nitrite, by weight, as ordered",
            unit="",
            accepted=RATIO,
            example="10",
        ),
        Choice(
            name="counted",
            label="What nitrite the ratio counts",
            options=options_from(NitriteCounted),
            example=NitriteCounted.ION.value,
            hint="A ratio on the ion takes 3.28 times the salt of one on nitrogen.",
        ),
        Input(
            name="chloride",
            label="Chloride there already",
            unit="mg/L",
            accepted=CONCENTRATION,
            example="20 mg/L",
        ),
        replace(VOLUME, example="200 L"),
    ),
    outputs=(
        Output(name="amount", label="Sodium chloride", unit="g"),
        Output(name="salt", label="that is", unit="mg/L"),
    ),
    formula="mg/L of NaCl = (ratio × nitrite − chloride) / 0.6066, not below 0",
    sources=(
        Source(text="molar masses from IUPAC atomic weights", mark="computed"),
        Source(text="ratios of 5:1 to 10:1", mark="common practice"),
    ),
    cautions=(
        CAUTION,
        "Some fresh-water fish and most plants bear little salt.",
        "Salt without iodide or anti-caking agent.",
    ),
    solve=_salted,
    arguments={"counted_as": "counted"},
)

CALCULATIONS: Final = (SALT_AGAINST_NITRITE,)
