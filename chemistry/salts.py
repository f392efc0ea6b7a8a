"""Salts that start-up and upkeep take: what each counts as, its crystal water, what dissolves.

The share counted is stoichiometry on ``constants``. Solubility is grams of *anhydrous* salt in
100 g of water. A stock is held to what stays dissolved at 10 °C, taken as the geometric mean
of 0 and 20 °C, in a solution as light as water: that errs towards the weaker stock.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt
from typing import Final

from chemistry.constants import (
    AMMONIUM_CHLORIDE_G_MOL,
    CALCIUM_CARBONATE_G_MOL,
    CALCIUM_G_MOL,
    CHLORINE_G_MOL,
    COPPER_G_MOL,
    HYDROGEN_G_MOL,
    MAGNESIUM_G_MOL,
    NITRATE_G_MOL,
    NITRITE_G_MOL,
    NITROGEN_G_MOL,
    OXYGEN_G_MOL,
    PHOSPHORUS_G_MOL,
    POTASSIUM_G_MOL,
    SODIUM_BICARBONATE_G_MOL,
    SODIUM_CARBONATE_G_MOL,
    SODIUM_G_MOL,
    SODIUM_THIOSULFATE_G_MOL,
    SULFUR_G_MOL,
    WATER_G_MOL,
)
from chemistry.domain import GRAMS, Number, within

_SULFATE_G_MOL: Final = SULFUR_G_MOL + 4 * OXYGEN_G_MOL
_OLD_TABLES: Final = "handbook tables of solubility, found"
_HANDBOOK: Final = "handbook of chemistry, from memory, unverified"


class Salt(StrEnum):
    AMMONIUM_CHLORIDE = "ammonium chloride"
    SODIUM_NITRITE = "sodium nitrite"
    SODIUM_NITRATE = "sodium nitrate"
    SODIUM_BICARBONATE = "sodium bicarbonate"
    SODIUM_CARBONATE = "sodium carbonate, anhydrous"
    SODIUM_CARBONATE_DECAHYDRATE = "sodium carbonate decahydrate"
    CALCIUM_CHLORIDE = "calcium chloride, anhydrous"
    CALCIUM_CHLORIDE_DIHYDRATE = "calcium chloride dihydrate"
    MAGNESIUM_CHLORIDE_HEXAHYDRATE = "magnesium chloride hexahydrate"
    MAGNESIUM_SULFATE = "magnesium sulfate, anhydrous"
    MAGNESIUM_SULFATE_HEPTAHYDRATE = "magnesium sulfate heptahydrate"
    SODIUM_CHLORIDE = "sodium chloride"
    POTASSIUM_DIHYDROGEN_PHOSPHATE = "potassium dihydrogen phosphate"
    SODIUM_THIOSULFATE = "sodium thiosulfate, anhydrous"
    SODIUM_THIOSULFATE_PENTAHYDRATE = "sodium thiosulfate pentahydrate"
    COPPER_SULFATE = "copper sulfate, anhydrous"
    COPPER_SULFATE_PENTAHYDRATE = "copper sulfate pentahydrate"


class Counted(StrEnum):
    NITROGEN = "nitrogen"
    ALKALINITY = "alkalinity as CaCO3"
    CALCIUM = "calcium"
    MAGNESIUM = "magnesium"
    CHLORIDE = "chloride"
    PHOSPHORUS = "phosphorus"
    THIOSULFATE = "thiosulfate, as the anhydrous salt"
    COPPER = "copper"


class DifferentSubstance(ValueError):  # noqa: N818 - the house names refusals by what is so
    """Two salts that do not count as the same thing cannot stand in for each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """``counted_g_mol`` is what a mole of the salt holds of what it is dosed for."""

    formula: str
    g_mol: float
    counted: Counted
    counted_g_mol: float
    waters: int
    dissolves_at_0_c: float
    dissolves_at_20_c: float
    source: str

    @property
    def share(self) -> float:
        """Grams of what is counted in a gram of pure salt."""
        return self.counted_g_mol / self.g_mol


def _facts(
    formula: str,
    anhydrous_g_mol: float,
    waters: int,
    counted: tuple[Counted, float],
    dissolves: tuple[float, float],
    source: str = _OLD_TABLES,
) -> Facts:
    return Facts(
        formula=formula,
        g_mol=anhydrous_g_mol + waters * WATER_G_MOL,
        waters=waters,
        counted=counted[0],
        counted_g_mol=counted[1],
        dissolves_at_0_c=dissolves[0],
        dissolves_at_20_c=dissolves[1],
        source=source,
    )


_CALCIUM_CHLORIDE_G_MOL: Final = CALCIUM_G_MOL + 2 * CHLORINE_G_MOL
_MAGNESIUM_CHLORIDE_G_MOL: Final = MAGNESIUM_G_MOL + 2 * CHLORINE_G_MOL
_MAGNESIUM_SULFATE_G_MOL: Final = MAGNESIUM_G_MOL + _SULFATE_G_MOL
_COPPER_SULFATE_G_MOL: Final = COPPER_G_MOL + _SULFATE_G_MOL
_PHOSPHATE_G_MOL: Final = POTASSIUM_G_MOL + 2 * HYDROGEN_G_MOL + PHOSPHORUS_G_MOL + 4 * OXYGEN_G_MOL

_N: Final = (Counted.NITROGEN, NITROGEN_G_MOL)
_ONE_EQUIVALENT: Final = (Counted.ALKALINITY, CALCIUM_CARBONATE_G_MOL / 2)
_TWO_EQUIVALENTS: Final = (Counted.ALKALINITY, CALCIUM_CARBONATE_G_MOL)
_CA: Final = (Counted.CALCIUM, CALCIUM_G_MOL)
_MG: Final = (Counted.MAGNESIUM, MAGNESIUM_G_MOL)
_CL: Final = (Counted.CHLORIDE, CHLORINE_G_MOL)
_P: Final = (Counted.PHOSPHORUS, PHOSPHORUS_G_MOL)
_S2O3: Final = (Counted.THIOSULFATE, SODIUM_THIOSULFATE_G_MOL)
_CU: Final = (Counted.COPPER, COPPER_G_MOL)

# Formula, weight without crystal water, waters, what is counted, grams that dissolve in 100 g of
# water at 0 and 20 °C.
FACTS: Final = {
    Salt.AMMONIUM_CHLORIDE: _facts("NH4Cl", AMMONIUM_CHLORIDE_G_MOL, 0, _N, (29.4, 37.2)),
    Salt.SODIUM_NITRITE: _facts(
        "NaNO2", SODIUM_G_MOL + NITRITE_G_MOL, 0, _N, (72.1, 80.8), _HANDBOOK
    ),
    Salt.SODIUM_NITRATE: _facts("NaNO3", SODIUM_G_MOL + NITRATE_G_MOL, 0, _N, (73, 88)),
    Salt.SODIUM_BICARBONATE: _facts(
        "NaHCO3", SODIUM_BICARBONATE_G_MOL, 0, _ONE_EQUIVALENT, (6.9, 9.6)
    ),
    Salt.SODIUM_CARBONATE: _facts("Na2CO3", SODIUM_CARBONATE_G_MOL, 0, _TWO_EQUIVALENTS, (7, 21.5)),
    Salt.SODIUM_CARBONATE_DECAHYDRATE: _facts(
        "Na2CO3·10H2O", SODIUM_CARBONATE_G_MOL, 10, _TWO_EQUIVALENTS, (7, 21.5)
    ),
    Salt.CALCIUM_CHLORIDE: _facts("CaCl2", _CALCIUM_CHLORIDE_G_MOL, 0, _CA, (59.5, 74.5)),
    Salt.CALCIUM_CHLORIDE_DIHYDRATE: _facts(
        "CaCl2·2H2O", _CALCIUM_CHLORIDE_G_MOL, 2, _CA, (59.5, 74.5)
    ),
    Salt.MAGNESIUM_CHLORIDE_HEXAHYDRATE: _facts(
        "MgCl2·6H2O", _MAGNESIUM_CHLORIDE_G_MOL, 6, _MG, (53, 54.6), _HANDBOOK
    ),
    Salt.MAGNESIUM_SULFATE: _facts(
        "MgSO4", _MAGNESIUM_SULFATE_G_MOL, 0, _MG, (22, 33.7), _HANDBOOK
    ),
    Salt.MAGNESIUM_SULFATE_HEPTAHYDRATE: _facts(
        "MgSO4·7H2O", _MAGNESIUM_SULFATE_G_MOL, 7, _MG, (22, 33.7), _HANDBOOK
    ),
    Salt.SODIUM_CHLORIDE: _facts("NaCl", SODIUM_G_MOL + CHLORINE_G_MOL, 0, _CL, (35.7, 36)),
    Salt.POTASSIUM_DIHYDROGEN_PHOSPHATE: _facts(
        "KH2PO4", _PHOSPHATE_G_MOL, 0, _P, (13.3, 22.3), _HANDBOOK
    ),
    Salt.SODIUM_THIOSULFATE: _facts(
        "Na2S2O3", SODIUM_THIOSULFATE_G_MOL, 0, _S2O3, (50, 70), _HANDBOOK
    ),
    Salt.SODIUM_THIOSULFATE_PENTAHYDRATE: _facts(
        "Na2S2O3·5H2O", SODIUM_THIOSULFATE_G_MOL, 5, _S2O3, (50, 70), _HANDBOOK
    ),
    Salt.COPPER_SULFATE: _facts("CuSO4", _COPPER_SULFATE_G_MOL, 0, _CU, (14.3, 20.7)),
    Salt.COPPER_SULFATE_PENTAHYDRATE: _facts(
        "CuSO4·5H2O", _COPPER_SULFATE_G_MOL, 5, _CU, (14.3, 20.7)
    ),
}


def stock_limit_g_l(salt: Salt) -> float:
    """Return the strongest stock, in grams of this form per litre, to keep in a cool cupboard."""
    facts = FACTS[salt]
    in_100_g_water = sqrt(facts.dissolves_at_0_c * facts.dissolves_at_20_c)
    anhydrous_g_l = 1000 * in_100_g_water / (100 + in_100_g_water)
    return anhydrous_g_l * facts.g_mol / (facts.g_mol - facts.waters * WATER_G_MOL)


def same_dose_g(*, grams: Number, of: Salt, instead_of: Salt) -> Number:
    """Return grams ``of`` one salt that count as much as ``grams`` of another form of it.

    Raises:
        DifferentSubstance: they do not count as the same thing.
    """
    within(GRAMS, grams=grams)
    wanted, held = FACTS[of], FACTS[instead_of]
    if wanted.counted is not held.counted:
        raise DifferentSubstance(
            f"{of.capitalize()} is dosed for {wanted.counted} and {instead_of} for "
            f"{held.counted}: one cannot stand in for the other."
        )
    return grams * held.share / wanted.share
