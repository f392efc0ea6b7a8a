"""How much of a product moves so many litres, and what a measured amount really did.

Amounts are stoichiometry on the atomic weights in ``constants``. Products are described by
``active_share``: grams of what the target counts (here N) per gram of product, so purity
and form are stated once. Ammonium chloride stock: 250 g/L stays dissolved at room
temperature (solubility 294 g/L at 0 °C). Floats or arrays.
"""

from typing import Final

from chemistry.constants import AMMONIA_G_MOL, AMMONIUM_CHLORIDE_G_MOL, NITROGEN_G_MOL
from chemistry.domain import CONCENTRATION, GRAMS, LITRES, SHARE_ABOVE_ZERO, Number, Range, within

ACTIVE: Final = Range(name="active share of the product", unit="", low=1e-6, high=1.0)
STOCK: Final = Range(
    name="stock strength",
    unit="g/L",
    low=0.01,
    high=250.0,
    source="what stays dissolved at any room temperature",
)
MILLILITRES: Final = Range(name="volume poured", unit="mL", low=0.0, high=1e8)
AMMONIA_SOLUTION: Final = Range(name="ammonia strength by mass", unit="", low=0.001, high=0.35)
SOLUTION_DENSITY: Final = Range(name="density", unit="kg/L", low=0.85, high=1.5)

N_PER_AMMONIUM_CHLORIDE: Final = NITROGEN_G_MOL / AMMONIUM_CHLORIDE_G_MOL
N_PER_AMMONIA: Final = NITROGEN_G_MOL / AMMONIA_G_MOL


def dose_g(*, rise_mg_l: Number, volume_l: Number, active_share: float) -> Number:
    """Return grams of a product that raise ``volume_l`` by ``rise_mg_l`` of its active part."""
    within(CONCENTRATION, rise_mg_l=rise_mg_l)
    within(LITRES, volume_l=volume_l)
    within(ACTIVE, active_share=active_share)
    return rise_mg_l * volume_l / 1000 / active_share


def implied_rise_mg_l(*, dose_g: Number, volume_l: Number, active_share: float) -> Number:
    """Return the rise implied by the grams really weighed out: the inverse of ``dose_g``."""
    within(GRAMS, dose_g=dose_g)
    within(LITRES, volume_l=volume_l)
    within(ACTIVE, active_share=active_share)
    return dose_g * 1000 * active_share / volume_l


def ammonium_chloride_g(*, tan_mg_l_n: Number, volume_l: Number, purity: float = 1.0) -> Number:
    """Return grams of NH₄Cl that add ``tan_mg_l_n`` to ``volume_l``."""
    within(SHARE_ABOVE_ZERO, purity=purity)
    share = N_PER_AMMONIUM_CHLORIDE * purity
    return dose_g(rise_mg_l=tan_mg_l_n, volume_l=volume_l, active_share=share)


def implied_tan_mg_l_n(
    *, ammonium_chloride_g: Number, volume_l: Number, purity: float = 1.0
) -> Number:
    """Return the TAN really added by so many grams of NH₄Cl."""
    within(SHARE_ABOVE_ZERO, purity=purity)
    share = N_PER_AMMONIUM_CHLORIDE * purity
    return implied_rise_mg_l(dose_g=ammonium_chloride_g, volume_l=volume_l, active_share=share)


def stock_ml(*, substance_g: Number, stock_g_l: Number) -> Number:
    """Return millilitres of a stock solution that hold ``substance_g``."""
    within(GRAMS, substance_g=substance_g)
    within(STOCK, stock_g_l=stock_g_l)
    return substance_g * 1000 / stock_g_l


def substance_in_stock_g(*, stock_ml: Number, stock_g_l: Number) -> Number:
    """Return the grams held by so many millilitres really poured."""
    within(MILLILITRES, stock_ml=stock_ml)
    within(STOCK, stock_g_l=stock_g_l)
    return stock_ml * stock_g_l / 1000


def ammonia_solution_ml(
    *, tan_mg_l_n: Number, volume_l: Number, ammonia_share: float, density_kg_l: float
) -> Number:
    """Return millilitres of household ammonia that add ``tan_mg_l_n``.

    ``ammonia_share`` is grams NH₃ per gram of solution (5 % is 0.05, about 0.98 kg/L). It
    raises pH, unlike NH₄Cl. Never with bleach; unfit if it foams.
    """
    within(AMMONIA_SOLUTION, ammonia_share=ammonia_share)
    within(SOLUTION_DENSITY, density_kg_l=density_kg_l)
    share = ammonia_share * N_PER_AMMONIA
    return dose_g(rise_mg_l=tan_mg_l_n, volume_l=volume_l, active_share=share) / density_kg_l
