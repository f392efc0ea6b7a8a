"""What may stand on a container of an agent, and how much that counts is in it.

A salt is turned into what is counted by its formula alone. Free and bound copper are two agents:
neither's figures are ever turned into the other's.
"""

from dataclasses import dataclass
from typing import Final

from chemistry.salts import FACTS, Salt

_MG_PER_G: Final = 1000.0
# A microlitre of formalin is a thousandth of a millilitre, whatever the label says.
_UL_PER_ML: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """``asks`` is what the label must say, from ``low`` to ``high``; ``share`` of it counts.

    A solid is labelled by its purity in per cent, a solution in g/L. With ``fixed`` the label is
    only checked, and so much counts in each mL.
    """

    code: str
    label: str
    is_solid: bool
    asks: str
    low: float
    high: float
    share: float = 1.0
    fixed: float | None = None


def strength(form: Form, label: float) -> float:
    """Return how much counts in 1 g of a solid or 1 mL of a solution: mg, of formalin µL.

    Raises:
        ValueError: the label says what this form cannot be.
    """
    if not form.low <= label <= form.high:
        raise ValueError(f"{form.asks}: from {form.low:g} to {form.high:g}.")
    if form.fixed is not None:
        return form.fixed
    return label / 100 * form.share * _MG_PER_G if form.is_solid else label * form.share


def _solid(code: str, label: str, share: float = 1.0) -> Form:
    return Form(
        code=code, label=label, is_solid=True, asks="Purity, %", low=1, high=100, share=share
    )


def _solution(code: str, label: str, *, high: float, share: float = 1.0) -> Form:
    return Form(
        code=code,
        label=label,
        is_solid=False,
        asks="Grams in a litre (mg in a mL)",
        low=0.01,
        high=high,
        share=share,
    )


_CRYSTALS: Final = FACTS[Salt.COPPER_SULFATE_PENTAHYDRATE].share
_ANHYDROUS: Final = FACTS[Salt.COPPER_SULFATE].share
COPPER: Final = (
    _solid("CUSO4_5H2O", "Copper sulfate crystals, CuSO₄·5H₂O", _CRYSTALS),
    _solid("CUSO4", "Copper sulfate, anhydrous, CuSO₄", _ANHYDROUS),
    _solution("CUSO4_5H2O_STOCK", "Stock solution, made of CuSO₄·5H₂O", high=200, share=_CRYSTALS),
    _solution("CU_STOCK", "Solution, label counts copper (Cu)", high=100),
)
COPPER_BOUND: Final = (
    _solution("CU_BOUND", "Bound (chelated) copper, label counts copper (Cu)", high=100),
)
FORMALIN: Final = (
    Form(
        code="FORMALIN_37",
        label="Formalin, 37 % formaldehyde",
        is_solid=False,
        asks="Formaldehyde on the label, %",
        low=36,
        high=40,
        fixed=_UL_PER_ML,
    ),
)
PEROXIDE: Final = (_solution("H2O2", "Solution, label in mg in a mL (35 %: 396.1)", high=600),)
CHLORAMINE_T: Final = (_solid("CHLORAMINE_T", "Chloramine-T trihydrate powder"),)
PRAZIQUANTEL: Final = (
    _solid("PRAZIQUANTEL", "Praziquantel powder"),
    _solution("PRAZIQUANTEL_STOCK", "Praziquantel solution", high=200),
)
TABLE_SALT: Final = (_solid("NACL", "Sodium chloride without additives"),)
CHLOROQUINE: Final = (_solid("CHLOROQUINE_2P", "Chloroquine diphosphate powder"),)
METHYLENE_BLUE: Final = (
    _solution("METHYLENE_BLUE_STOCK", "Methylene blue solution", high=100),
    _solid("METHYLENE_BLUE", "Methylene blue powder"),
)
FORMS: Final = {
    form.code: form
    for form in (
        *COPPER,
        *COPPER_BOUND,
        *FORMALIN,
        *PEROXIDE,
        *CHLORAMINE_T,
        *PRAZIQUANTEL,
        *TABLE_SALT,
        *CHLOROQUINE,
        *METHYLENE_BLUE,
    )
}
