"""What is added to a closed water, or what nitrifiers take, and where the pH goes.

Per milliequivalent of alkalinity, bicarbonate brings a millimole of carbon, carbonate half of
one, hydroxide none: so in sea water of pH 8.0 bicarbonate lowers pH until CO₂ has left, and
carbonate raises it at once. Oxidising a mole of ammonia takes two equivalents (no growth counted).
Nothing precipitates in these equations: above an aragonite saturation of about 5, or in hard
fresh water, some of a carbonate or hydroxide dose falls out as calcium carbonate.
"""

from dataclasses import replace

from chemistry.alkalinity import RISE
from chemistry.carbonate import (
    OPEN_AIR_UATM,
    Carbonate,
    from_alkalinity_and_carbon,
    from_alkalinity_and_pressure,
)
from chemistry.constants import NITROGEN_G_MOL
from chemistry.domain import CONCENTRATION, Number, within
from chemistry.elementary import greatest


def with_bicarbonate(state: Carbonate[Number], *, rise_meq_l: Number) -> Carbonate[Number]:
    """Return the water after sodium bicarbonate, before any gas has moved."""
    return _added(state, rise_meq_l, rise_meq_l)


def with_carbonate(state: Carbonate[Number], *, rise_meq_l: Number) -> Carbonate[Number]:
    """Return the water after sodium carbonate, before any gas has moved."""
    return _added(state, rise_meq_l, rise_meq_l / 2)


def with_hydroxide(state: Carbonate[Number], *, rise_meq_l: Number) -> Carbonate[Number]:
    """Return the water after a hydroxide, before any gas has moved."""
    return _added(state, rise_meq_l, 0 * rise_meq_l)


def after_nitrifying(state: Carbonate[Number], *, oxidised_mg_l_n: Number) -> Carbonate[Number]:
    """Return the water after so much of its ammonia became nitrate, before any gas has moved.

    Raises:
        OutOfRange: also when the alkalinity does not last.
    """
    within(CONCENTRATION, oxidised_mg_l_n=oxidised_mg_l_n)
    left_mg_l_n = greatest(state.water.tan_mg_l_n - oxidised_mg_l_n, 0.0)
    return from_alkalinity_and_carbon(
        replace(state.water, tan_mg_l_n=left_mg_l_n),
        alkalinity_meq_l=state.alkalinity_meq_l - 2 / NITROGEN_G_MOL * oxidised_mg_l_n,
        carbon_mmol_l=state.carbon_mmol_l,
    )


def aired(
    state: Carbonate[Number], *, pco2_uatm: Number | float = OPEN_AIR_UATM
) -> Carbonate[Number]:
    """Return the water once aeration has brought it into balance with the air."""
    pressure = pco2_uatm + 0 * state.alkalinity_meq_l
    return from_alkalinity_and_pressure(
        state.water, alkalinity_meq_l=state.alkalinity_meq_l, pco2_uatm=pressure
    )


def _added(
    state: Carbonate[Number], rise_meq_l: Number, carbon_mmol_l: Number
) -> Carbonate[Number]:
    within(RISE, rise_meq_l=rise_meq_l)
    return from_alkalinity_and_carbon(
        state.water,
        alkalinity_meq_l=state.alkalinity_meq_l + rise_meq_l,
        carbon_mmol_l=state.carbon_mmol_l + carbon_mmol_l,
    )
