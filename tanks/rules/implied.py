"""What the amount really measured out did to the water."""

from chemistry.alkalinity import sodium_bicarbonate_g, sodium_carbonate_g
from chemistry.dosing import implied_tan_mg_l_n, substance_in_stock_g


def substance_g(*, amount: float, unit: str, strength: float) -> float:
    """Return grams of pure substance in ``amount``: mL of a solution, or g of an impure solid."""
    if unit == "mL":
        return substance_in_stock_g(stock_ml=amount, stock_g_l=strength)
    return amount * strength


def implied_mg_l_n(*, ammonium_chloride_g: float, volume_l: float) -> float:
    return implied_tan_mg_l_n(ammonium_chloride_g=ammonium_chloride_g, volume_l=volume_l)


def implied_meq_l(*, substance: str, pure_g: float, volume_l: float) -> float | None:
    """Return the rise of alkalinity, or None for a substance that does not raise it."""
    match substance:
        case "SODIUM_BICARBONATE":
            return pure_g / sodium_bicarbonate_g(rise_meq_l=1.0, volume_l=volume_l)
        case "SODIUM_CARBONATE":
            return pure_g / sodium_carbonate_g(rise_meq_l=1.0, volume_l=volume_l)
        case _:
            return None
