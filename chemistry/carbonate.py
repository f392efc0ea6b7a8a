"""The carbonate system: from any two of alkalinity, pH, total carbon and CO₂ pressure, the rest.

Concentrations of the acids of ``carbonate_constants``; borate, hydroxide, un-ionised ammonia and
hydrogen ions (with bisulfate and hydrogen fluoride) complete the alkalinity. Phosphate,
silicate and organic acids are left out: where they carry alkalinity, all results fail. Per litre
at the water's own density. In fresh water pH is on NBS, in salt water on the total scale.
"""

from dataclasses import dataclass
from typing import Final, Generic

import numpy as np

from chemistry.alkalinity import ALKALINITY
from chemistry.carbonate_constants import (
    FRESH_BELOW_G_KG,
    Acids,
    Water,
    acids_of,
    names_of,
    notes_of,
)
from chemistry.constants import CARBON_G_MOL, DIOXYGEN_G_MOL
from chemistry.domain import Number, Range, within
from chemistry.elementary import greatest, lg, root, ten_to

PH: Final = Range(name="pH", unit="", low=4.0, high=11.0)
CARBON: Final = Range(name="total inorganic carbon", unit="mmol/L", low=0.0, high=60.0)
PRESSURE: Final = Range(name="pressure of CO2", unit="µatm", low=1.0, high=500_000.0)

CARBON_DIOXIDE_G_MOL: Final = CARBON_G_MOL + DIOXYGEN_G_MOL
# About what the open air holds (2024); a closed room with people holds two to three times that.
OPEN_AIR_UATM: Final = 420.0

_SOLVED_PH: Final = Range(name="pH that these make together", unit="", low=2.01, high=12.99)
# From the lowest pH up, half of what is left each time: down to 2e-13.
_LOWEST_PH: Final = 2.0
_STEPS_PH: Final = tuple(11 / 2**halving for halving in range(1, 47))
_MICRO: Final = 1e6


@dataclass(frozen=True, slots=True, kw_only=True)
class Carbonate(Generic[Number]):
    """One water's carbonate system. ``omega`` above 1 is oversaturated; None without calcium."""

    water: Water[Number]
    ph: Number
    alkalinity_meq_l: Number
    carbon_mmol_l: Number
    co2_mg_l: Number
    bicarbonate_mmol_l: Number
    carbonate_mmol_l: Number
    pco2_uatm: Number
    omega_calcite: Number | None
    omega_aragonite: Number | None

    @property
    def method(self) -> str:
        return "; ".join(names_of(self.water))

    @property
    def notes(self) -> tuple[str, ...]:
        return notes_of(self.water)


def from_alkalinity_and_ph(
    water: Water[Number], *, alkalinity_meq_l: Number, ph: Number
) -> Carbonate[Number]:
    """Solve for carbon.

    Raises:
        OutOfRange: also when the pH alone makes more alkalinity than there is.
    """
    within(ALKALINITY, alkalinity_meq_l=alkalinity_meq_l)
    within(PH, ph=ph)
    acids = acids_of(water, salts_mol_kg=_per_kg(alkalinity_meq_l, water))
    h = ten_to(-ph)
    left = alkalinity_meq_l / (1000 * acids.density_kg_l) - _without_carbon(acids, h)
    carbon = left / _charge_per_carbon(acids, h)
    within(CARBON, alkalinity_meq_l=carbon * 1000 * acids.density_kg_l)
    return _described(water, acids, h, carbon)


def from_alkalinity_and_carbon(
    water: Water[Number], *, alkalinity_meq_l: Number, carbon_mmol_l: Number
) -> Carbonate[Number]:
    """Solve for pH.

    Raises:
        OutOfRange: also when no pH from 2 to 13 holds the two.
    """
    within(ALKALINITY, alkalinity_meq_l=alkalinity_meq_l)
    within(CARBON, carbon_mmol_l=carbon_mmol_l)
    acids = acids_of(water, salts_mol_kg=_per_kg(alkalinity_meq_l, water))
    carbon = carbon_mmol_l / (1000 * acids.density_kg_l)
    wanted = alkalinity_meq_l / (1000 * acids.density_kg_l)
    low = 0 * wanted + _LOWEST_PH
    for step in _STEPS_PH:
        h = ten_to(-low - step)
        made = carbon * _charge_per_carbon(acids, h) + _without_carbon(acids, h)
        low = low + step * (made < wanted)
    within(_SOLVED_PH, carbon_mmol_l=low)
    return _described(water, acids, ten_to(-low), carbon)


def from_alkalinity_and_pressure(
    water: Water[Number], *, alkalinity_meq_l: Number, pco2_uatm: Number
) -> Carbonate[Number]:
    """Solve for pH in balance with a gas: with ``OPEN_AIR_UATM``, what aeration tends to.

    Raises:
        OutOfRange: also when no pH from 2 to 13 holds the two.
    """
    within(ALKALINITY, alkalinity_meq_l=alkalinity_meq_l)
    within(PRESSURE, pco2_uatm=pco2_uatm)
    acids = acids_of(water, salts_mol_kg=_per_kg(alkalinity_meq_l, water))
    co2 = acids.solubility * pco2_uatm / _MICRO
    wanted = alkalinity_meq_l / (1000 * acids.density_kg_l)
    low = 0 * wanted + _LOWEST_PH
    for step in _STEPS_PH:
        h = ten_to(-low - step)
        carbon = co2 / _gas_share(acids, h)
        made = carbon * _charge_per_carbon(acids, h) + _without_carbon(acids, h)
        low = low + step * (made < wanted)
    within(_SOLVED_PH, pco2_uatm=low)
    h = ten_to(-low)
    return _described(water, acids, h, co2 / _gas_share(acids, h))


def from_ph_and_carbon(
    water: Water[Number], *, ph: Number, carbon_mmol_l: Number
) -> Carbonate[Number]:
    within(PH, ph=ph)
    within(CARBON, carbon_mmol_l=carbon_mmol_l)
    h = ten_to(-ph)
    # Alkalinity, which makes the ionic strength in fresh water, comes out first: one round.
    ideal = acids_of(water, salts_mol_kg=0 * h)
    carried = _per_kg(carbon_mmol_l, water) * _charge_per_carbon(ideal, h)
    acids = acids_of(water, salts_mol_kg=carried)
    return _described(water, acids, h, carbon_mmol_l / (1000 * acids.density_kg_l))


def from_ph_and_pressure(
    water: Water[Number], *, ph: Number, pco2_uatm: Number
) -> Carbonate[Number]:
    """Solve for alkalinity.

    Raises:
        OutOfRange: also when so much carbon is beyond any tank.
    """
    within(PH, ph=ph)
    within(PRESSURE, pco2_uatm=pco2_uatm)
    h = ten_to(-ph)
    ideal = acids_of(water, salts_mol_kg=0 * h)
    bicarbonate = ideal.solubility * pco2_uatm / _MICRO * ideal.first / h
    within(CARBON, ph=bicarbonate * 1000)
    acids = acids_of(water, salts_mol_kg=bicarbonate)
    carbon = acids.solubility * pco2_uatm / _MICRO / _gas_share(acids, h)
    within(CARBON, ph=carbon * 1000)
    return _described(water, acids, h, carbon)


def from_carbon_and_pressure(
    water: Water[Number], *, carbon_mmol_l: Number, pco2_uatm: Number
) -> Carbonate[Number]:
    """Solve for pH.

    Raises:
        OutOfRange: also when the gas alone holds more carbon than there is.
    """
    within(CARBON, carbon_mmol_l=carbon_mmol_l)
    within(PRESSURE, pco2_uatm=pco2_uatm)
    ideal = acids_of(water, salts_mol_kg=0 * _per_kg(carbon_mmol_l, water))
    gas = ideal.solubility * pco2_uatm / _MICRO
    charged = greatest(_per_kg(carbon_mmol_l, water) - gas, 0.0)
    acids = acids_of(water, salts_mol_kg=charged)
    carbon = carbon_mmol_l / (1000 * acids.density_kg_l)
    co2 = acids.solubility * pco2_uatm / _MICRO
    ions = carbon - co2
    within(_IONS, carbon_mmol_l=ions * 1000)
    linear = co2 * acids.first
    h = (linear + root(linear * linear + 4 * ions * linear * acids.second)) / (2 * ions)
    within(_SOLVED_PH, pco2_uatm=-lg(h))
    return _described(water, acids, h, carbon)


_IONS: Final = Range(
    name="carbon left for bicarbonate and carbonate", unit="mmol/L", low=1e-9, high=60.0
)


def _per_kg(amount_per_l: Number, water: Water[Number]) -> Number:
    """Return mol/kg near enough for an ionic strength, which only fresh water needs."""
    return amount_per_l / 1000 + 0 * water.salinity_g_kg


def _charge_per_carbon(acids: Acids[Number], h: Number) -> Number:
    """Return equivalents of alkalinity that a mole of carbon carries at this pH."""
    pair = acids.first * acids.second
    return (acids.first * h + 2 * pair) / (h * h + acids.first * h + pair)


def _gas_share(acids: Acids[Number], h: Number) -> Number:
    """Return dissolved CO₂ over total carbon."""
    return h * h / (h * h + acids.first * h + acids.first * acids.second)


def _without_carbon(acids: Acids[Number], h: Number) -> Number:
    return (
        acids.water / h
        - acids.acid_per_h * h
        + acids.boron * acids.boric / (acids.boric + h)
        + acids.ammonia * acids.ammonium / (acids.ammonium + h)
    )


def _described(
    water: Water[Number], acids: Acids[Number], h: Number, carbon: Number
) -> Carbonate[Number]:
    per_l = 1000 * acids.density_kg_l
    co2 = carbon * _gas_share(acids, h)
    bicarbonate = co2 * acids.first / h
    carbonate = bicarbonate * acids.second / h
    alkalinity = carbon * _charge_per_carbon(acids, h) + _without_carbon(acids, h)
    ions = carbonate * acids.calcium
    is_known = water.calcium_mg_l is not None or bool(
        np.all(np.greater_equal(water.salinity_g_kg, FRESH_BELOW_G_KG))
    )
    return Carbonate(
        water=water,
        ph=-lg(h),
        alkalinity_meq_l=alkalinity * per_l,
        carbon_mmol_l=carbon * per_l,
        co2_mg_l=co2 * per_l * CARBON_DIOXIDE_G_MOL,
        bicarbonate_mmol_l=bicarbonate * per_l,
        carbonate_mmol_l=carbonate * per_l,
        pco2_uatm=co2 / acids.solubility * _MICRO,
        omega_calcite=ions / acids.calcite if is_known else None,
        omega_aragonite=ions / acids.aragonite if is_known else None,
    )
