"""Household ammonia: its strength from its specific gravity, and the dose.

Specific gravity at 60/60 °F against grams NH₃ in 100 g: Carius's table as *Cooley's
Cyclopaedia* reprints it; an older table (Ure) has 26.5 % for 27.0 % at 0.9000. Sold at 2 to
10 %, with soap or perfume unfit. It raises pH, unlike ammonium chloride: one mole of NH₃ is
one equivalent of alkalinity. Never with bleach: chloramine gas.
"""

from typing import Final

import numpy as np

from chemistry.constants import NITROGEN_G_MOL
from chemistry.domain import CONCENTRATION, Number, Range, within
from chemistry.dosing import AMMONIA_SOLUTION, ammonia_solution_ml
from chemistry.salinity import SIXTY_FAHRENHEIT_C, density_kg_l

GRAVITY: Final = Range(
    name="specific gravity of the ammonia", unit="", low=0.88, high=1.0, source="Carius's table"
)

CARIUS_GRAVITY: Final = (0.8800, 0.9000, 0.9250, 0.9600, 0.9800, 0.9900, 1.0000)
CARIUS_PERCENT: Final = (33.117, 26.984, 19.691, 10.119, 4.956, 2.453, 0.0)


def ammonia_share(*, gravity: float) -> float:
    """Return grams of NH₃ in a gram of solution of this specific gravity at 60 °F."""
    within(GRAVITY, gravity=gravity)
    return float(np.interp(gravity, CARIUS_GRAVITY, CARIUS_PERCENT)) / 100


def ammonia_density_kg_l(*, ammonia_share: float) -> float:
    """Return the density at 60 °F of a solution of this strength."""
    within(AMMONIA_SOLUTION, ammonia_share=ammonia_share)
    percents, gravities = CARIUS_PERCENT[::-1], CARIUS_GRAVITY[::-1]
    water_kg_l = density_kg_l(salinity_g_kg=0.0, temperature_c=SIXTY_FAHRENHEIT_C)
    return float(np.interp(100 * ammonia_share, percents, gravities)) * float(water_kg_l)


def household_ammonia_ml(*, tan_mg_l_n: float, volume_l: float, ammonia_share: float) -> float:
    """Return millilitres that add ``tan_mg_l_n``, the density taken from the table."""
    return ammonia_solution_ml(
        tan_mg_l_n=tan_mg_l_n,
        volume_l=volume_l,
        ammonia_share=ammonia_share,
        density_kg_l=ammonia_density_kg_l(ammonia_share=ammonia_share),
    )


def alkalinity_added_meq_l(*, tan_mg_l_n: Number) -> Number:
    """Return the alkalinity that ammonia brings along; nitrified, it takes twice as much away."""
    within(CONCENTRATION, tan_mg_l_n=tan_mg_l_n)
    return tan_mg_l_n / NITROGEN_G_MOL
