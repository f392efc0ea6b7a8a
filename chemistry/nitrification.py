"""What oxidising ammonia to nitrate takes, by the equations in print.

All are per milligram of nitrogen. They differ by the biomass they count: cells keep some of the
nitrogen and spare oxygen. ``IN_USE`` counts none, the cautious end: it asks for the most oxygen
and the most alkalinity. Measured in attached growth: 6.3 to 7.4 mg CaCO₃ (EPA 1975, quoted in
a University of Wisconsin thesis, found).
"""

from dataclasses import dataclass
from typing import Final

from chemistry.constants import (
    CALCIUM_CARBONATE_G_MOL,
    CARBON_G_MOL,
    DIOXYGEN_G_MOL,
    HYDROGEN_G_MOL,
    NITROGEN_G_MOL,
    OXYGEN_G_MOL,
)

CELLS_G_MOL: Final = 5 * CARBON_G_MOL + 7 * HYDROGEN_G_MOL + NITROGEN_G_MOL + 2 * OXYGEN_G_MOL
_CACO3_PER_EQUIVALENT: Final = CALCIUM_CARBONATE_G_MOL / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """Milligrams per milligram of nitrogen; None where the source does not say."""

    name: str
    oxygen_mg: float
    alkalinity_mg_caco3: float | None
    biomass_mg: float | None
    source: str
    mark: str


def _model(name: str, *, oxygen: float, acid: float, cells: float, source: str, mark: str) -> Model:
    """Build from moles for one mole of ammonium."""
    return Model(
        name=name,
        oxygen_mg=oxygen * DIOXYGEN_G_MOL / NITROGEN_G_MOL,
        alkalinity_mg_caco3=acid * _CACO3_PER_EQUIVALENT / NITROGEN_G_MOL,
        biomass_mg=cells * CELLS_G_MOL / NITROGEN_G_MOL,
        source=source,
        mark=mark,
    )


IN_USE: Final = _model(
    "no growth: NH4+ + 2 O2 → NO3- + 2 H+ + H2O",
    oxygen=2,
    acid=2,
    cells=0,
    source="molar ratios; 4.57 in wastewater texts",
    mark="found",
)
MODELS: Final = (
    IN_USE,
    _model(
        "US EPA 1975 and 1993, with synthesis",
        oxygen=1.83,
        acid=1.98,
        cells=0.021,
        source="coefficients from memory; its oxygen is often quoted as 4.33",
        mark="memory",
    ),
    Model(
        name="Gujer & Jenkins 1974",
        oxygen_mg=3.22 + 1.11,
        alkalinity_mg_caco3=None,
        biomass_mg=0.17,
        source="wastewater text, eq. 3.10, whose printed sum of 4.32 should be 4.33",
        mark="found",
    ),
    Model(
        name="Activated Sludge Model no. 1 (Henze 1987)",
        oxygen_mg=2 * DIOXYGEN_G_MOL / NITROGEN_G_MOL - 0.24,
        alkalinity_mg_caco3=None,
        biomass_mg=None,
        source="yield of 0.24 g COD/g N, default of a public implementation",
        mark="found",
    ),
    _model(
        "Haug & McCarty: 22 NH4+ + 37 O2 + 4 CO2 + HCO3- → C5H7NO2 + 21 NO3- + 20 H2O + 42 H+",
        oxygen=37 / 22,
        acid=43 / 22,
        cells=1 / 22,
        source="equation from memory",
        mark="memory",
    ),
    _model(
        "Metcalf & Eddy",
        oxygen=1.863,
        acid=1.98,
        cells=0.0196,
        source="coefficients from memory",
        mark="memory",
    ),
    Model(
        name="Ebeling, Timmons & Bisogni 2006, Aquaculture 257:346",
        oxygen_mg=4.18,
        alkalinity_mg_caco3=7.05,
        biomass_mg=0.20,
        source="paper found, numbers from memory",
        mark="memory",
    ),
)
