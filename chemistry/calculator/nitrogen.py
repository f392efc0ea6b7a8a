"""The same nitrogen in another basis, and what becomes of it."""

from dataclasses import replace
from typing import Final

from chemistry.calculator.inputs import AMMONIA_UNITS, TAN
from chemistry.calculator.terms import Calculation, Input, Output, Source, Subject, Worked
from chemistry.domain import CONCENTRATION
from chemistry.nitrogen import Basis, from_nitrogen, umol_l_from_nitrogen

_UNITS: Final = (
    *AMMONIA_UNITS,
    "mg/L as NO2",
    "mg/L as NO3",
    "µg/L as N",
    "µmol/L as N",
)
_AMOUNT: Final = Input(
    name="amount",
    label="Amount of nitrogen",
    unit="mg/L as N",
    units=_UNITS,
    accepted=CONCENTRATION,
    needs_unit=True,
    example="40 mg/L as NO3",
    hint="A bare mg/L would be guessed: a kit may mean N, NH3, NH4, NO2 or NO3.",
)


def _bases(*, amount: float) -> Worked:
    values = {basis.lower(): from_nitrogen(amount, basis=basis) for basis in Basis}
    return Worked(
        values={**values, "molar": umol_l_from_nitrogen(amount)},
        working=tuple(
            f"{amount:.4g} mg/L as N × {from_nitrogen(1.0, basis=basis):.4f} = "
            f"{from_nitrogen(amount, basis=basis):.4g} mg/L as {basis}"
            for basis in Basis
            if basis is not Basis.N
        ),
        notes=("Only the way of writing changes: nitrate as N is still nitrate, not ammonia.",),
    )


NITROGEN_BASES: Final = Calculation(
    name="nitrogen-bases",
    question="What is this nitrogen in another basis?",
    subject=Subject.NITROGEN,
    asks=(_AMOUNT,),
    outputs=(
        Output(name="n", label="as nitrogen", unit="mg/L as N", figures=4),
        Output(name="nh3", label="if ammonia", unit="mg/L as NH3", figures=4),
        Output(name="nh4", label="if ammonium", unit="mg/L as NH4", figures=4),
        Output(name="no2", label="if nitrite", unit="mg/L as NO2", figures=4),
        Output(name="no3", label="if nitrate", unit="mg/L as NO3", figures=4),
        Output(name="molar", label="in moles", unit="µmol/L as N", figures=4),
    ),
    formula="mg/L as ion = mg/L as N × molar mass of the ion / 14.007",
    sources=(Source(text="Conventional atomic weights, CIAAW/IUPAC", mark="found"),),
    cautions=("Printed factors 0.822, 0.776, 0.304 and 0.226 are roundings of these.",),
    solve=_bases,
)


def _made(*, tan: float) -> Worked:
    nitrite = from_nitrogen(tan, basis=Basis.NO2)
    nitrate = from_nitrogen(tan, basis=Basis.NO3)
    return Worked(
        values={"nitrite": nitrite, "nitrate": nitrate},
        working=(
            f"{tan:.4g} mg/L as N × 3.2844 = {nitrite:.4g} mg/L as NO2",
            f"{tan:.4g} mg/L as N × 4.4266 = {nitrate:.4g} mg/L as NO3",
        ),
        notes=(
            "As N the three numbers are equal; a few per cent go into the bacteria instead.",
            "Water changes, plants and denitrification take nitrate away again.",
        ),
    )


OXIDATION: Final = Calculation(
    name="nitrate-from-ammonia",
    question="How much nitrite and nitrate can this ammonia become?",
    subject=Subject.NITROGEN,
    asks=(replace(TAN, example="2 mg/L as N"),),
    outputs=(
        Output(name="nitrite", label="Nitrite, at most", unit="mg/L as NO2"),
        Output(name="nitrate", label="Nitrate, at most", unit="mg/L as NO3"),
    ),
    formula="NH4 → NO2 → NO3: one atom of nitrogen through all three",
    sources=(Source(text="Molar masses on CIAAW atomic weights", mark="computed"),),
    solve=_made,
)

CALCULATIONS: Final = (NITROGEN_BASES, OXIDATION)
