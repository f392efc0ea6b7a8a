"""Which published constants hold in a water, brought to one form for ``carbonate``.

Fresh below salinity 1: Plummer & Busenberg with activities, pH on NBS. From 1 to 19, and outside
2-35 °C: Millero 2010. Sea water: Lueker et al. 2000. Salt waters on the total scale. Arrays
may mix all three. What is stretched is named in ``note``.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Any, Final, Generic

import numpy as np

from chemistry import fresh_carbonic, sea_carbonic
from chemistry.ammonium import clegg_whitfield_pk, emerson_pka
from chemistry.constants import CALCIUM_G_MOL, KELVIN_AT_ZERO_CELSIUS, NITROGEN_G_MOL
from chemistry.domain import CONCENTRATION, Floats, Number, Range, plain, within
from chemistry.elementary import greatest, ten_to
from chemistry.salinity import density_kg_l
from chemistry.sea_acids import (
    Boron,
    boron_mol_kg,
    calcium_mol_kg,
    ionic_strength_mol_kg,
)
from chemistry.sea_carbonic import BORIC_SALINITY, LUEKER_SALINITY, LUEKER_TEMPERATURE

TEMPERATURE: Final = Range(name="temperature", unit="°C", low=0.0, high=40.0)
SALINITY: Final = Range(name="salinity", unit="g/kg", low=0.0, high=42.0)
CALCIUM: Final = Range(name="calcium", unit="mg/L", low=0.0, high=5000.0)
FRESH_BELOW_G_KG: Final = 1.0


class Constants(StrEnum):
    """Whose carbonic acid."""

    FRESH = "Plummer & Busenberg 1982, activities by Davies"
    BRACKISH = "Millero 2010"
    SEA = "Lueker et al. 2000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Water(Generic[Number]):
    """What decides the constants. Calcium, if known, is mg/L; salt water has the sea's share.

    Total ammonia counts because its un-ionised part is titrated as alkalinity.
    """

    temperature_c: Number
    salinity_g_kg: Number
    tan_mg_l_n: Number | float = 0.0
    calcium_mg_l: Number | None = None
    boron: Boron = Boron.UPPSTROM


@dataclass(frozen=True, slots=True, kw_only=True)
class Acids(Generic[Number]):
    """Constants as concentrations over 10^-pH; mol/kg, carbon dioxide mol/kg per atm."""

    solubility: Number
    first: Number
    second: Number
    water: Number
    boric: Number
    boron: Number
    ammonium: Number
    ammonia: Number
    acid_per_h: Number
    calcite: Number
    aragonite: Number
    calcium: Number
    density_kg_l: Number


def acids_of(water: Water[Number], *, salts_mol_kg: Number) -> Acids[Number]:
    """Return the constants; ``salts_mol_kg`` is the ionic strength if salinity tells less.

    Raises:
        OutOfRange: outside 0-40 °C, salinity 0-42, or with ammonia salinity 0-40.
    """
    within(TEMPERATURE, temperature_c=water.temperature_c)
    within(SALINITY, salinity_g_kg=water.salinity_g_kg)
    within(CONCENTRATION, tan_mg_l_n=water.tan_mg_l_n)
    kinds = np.unique(_kind(water.temperature_c, water.salinity_g_kg))
    if len(kinds) == 1:
        return _BY_KIND[kinds[0]](water, salts_mol_kg)
    mixed: Acids[Any] = _mixed(water, salts_mol_kg, kinds)
    return mixed


def names_of(water: Water[Number]) -> tuple[Constants, ...]:
    """Return whose constants are used, one for each kind of water in an array."""
    kinds = np.unique(_kind(water.temperature_c, water.salinity_g_kg))
    return tuple(_NAMES[kind] for kind in kinds)


def notes_of(water: Water[Number]) -> tuple[str, ...]:
    """Return what is stretched or left out."""
    names = names_of(water)
    notes = []
    if Constants.FRESH in names:
        notes.append("Fresh water: only carbonate, ammonia and water itself carry alkalinity.")
    if Constants.BRACKISH in names:
        notes.append("Brackish water, or outside 2 to 35 °C: carbonic acid by Millero 2010.")
    salt = np.greater_equal(water.salinity_g_kg, FRESH_BELOW_G_KG)
    if np.any(salt & np.less(water.salinity_g_kg, BORIC_SALINITY.low)):
        notes.append("Boric acid was fitted from salinity 5 up; below, its part is small.")
    return tuple(notes)


_FRESH: Final = 0
_BRACKISH: Final = 1
_SEA: Final = 2
_NAMES: Final = {
    _FRESH: Constants.FRESH,
    _BRACKISH: Constants.BRACKISH,
    _SEA: Constants.SEA,
}


def _kind(temperature_c: Number, salinity_g_kg: Number) -> Any:
    as_sea = np.greater_equal(salinity_g_kg, LUEKER_SALINITY.low) & (
        np.greater_equal(temperature_c, LUEKER_TEMPERATURE.low)
        & np.less_equal(temperature_c, LUEKER_TEMPERATURE.high)
    )
    is_salt = np.greater_equal(salinity_g_kg, FRESH_BELOW_G_KG)
    return np.where(as_sea, _SEA, np.where(is_salt, _BRACKISH, _FRESH))


def _fresh(water: Water[Number], salts_mol_kg: Number) -> Acids[Number]:
    kelvin = water.temperature_c + KELVIN_AT_ZERO_CELSIUS
    ionic = greatest(salts_mol_kg, ionic_strength_mol_kg(water.salinity_g_kg))
    gas = fresh_carbonic.gas_activity(ionic)
    ion = fresh_carbonic.ion_activity(kelvin, ionic)
    twofold = ion * ion * ion * ion
    density = _density_kg_l(water)
    nothing = 0 * ionic
    return Acids(
        solubility=fresh_carbonic.carbon_dioxide_solubility(kelvin) / gas,
        first=fresh_carbonic.k1(kelvin) * gas / ion,
        second=fresh_carbonic.k2(kelvin) * ion / twofold,
        water=sea_carbonic.water_constant(kelvin, nothing) / ion,
        boric=nothing + 1,
        boron=nothing,
        ammonium=ten_to(-emerson_pka(temperature_c=water.temperature_c)),
        ammonia=_ammonia_mol_kg(water, density),
        acid_per_h=1 / ion,
        calcite=fresh_carbonic.calcite_product(kelvin) / (twofold * twofold),
        aragonite=fresh_carbonic.aragonite_product(kelvin) / (twofold * twofold),
        calcium=_calcium_mol_kg(water, nothing, density),
        density_kg_l=density,
    )


def _brackish(water: Water[Number], _salts_mol_kg: Number) -> Acids[Number]:
    kelvin = water.temperature_c + KELVIN_AT_ZERO_CELSIUS
    to_total = sea_carbonic.seawater_to_total(kelvin, water.salinity_g_kg)
    return _salt(
        water,
        sea_carbonic.millero_2010_k1(kelvin, water.salinity_g_kg) * to_total,
        sea_carbonic.millero_2010_k2(kelvin, water.salinity_g_kg) * to_total,
    )


def _sea(water: Water[Number], _salts_mol_kg: Number) -> Acids[Number]:
    kelvin = water.temperature_c + KELVIN_AT_ZERO_CELSIUS
    return _salt(
        water,
        sea_carbonic.lueker_k1(kelvin, water.salinity_g_kg),
        sea_carbonic.lueker_k2(kelvin, water.salinity_g_kg),
    )


def _salt(water: Water[Number], first: Number, second: Number) -> Acids[Number]:
    kelvin = water.temperature_c + KELVIN_AT_ZERO_CELSIUS
    s = water.salinity_g_kg
    density = _density_kg_l(water)
    to_total = sea_carbonic.seawater_to_total(kelvin, s)
    solubility = sea_carbonic.carbon_dioxide_solubility(kelvin, s)
    return Acids(
        solubility=solubility * sea_carbonic.fugacity_share(kelvin),
        first=first,
        second=second,
        water=sea_carbonic.water_constant(kelvin, s) * to_total,
        boric=sea_carbonic.boric_constant(kelvin, s),
        boron=boron_mol_kg(s, ratio=water.boron),
        ammonium=_ammonium_in_salt(water),
        ammonia=_ammonia_mol_kg(water, density),
        acid_per_h=1 / to_total,
        calcite=sea_carbonic.calcite_product(kelvin, s),
        aragonite=sea_carbonic.aragonite_product(kelvin, s),
        calcium=_calcium_mol_kg(water, calcium_mol_kg(s), density),
        density_kg_l=density,
    )


_BY_KIND: Final[dict[int, Callable[..., Acids[Any]]]] = {
    _FRESH: _fresh,
    _BRACKISH: _brackish,
    _SEA: _sea,
}


def _density_kg_l(water: Water[Number]) -> Number:
    return plain(density_kg_l(salinity_g_kg=water.salinity_g_kg, temperature_c=water.temperature_c))


def _ammonium_in_salt(water: Water[Number]) -> Number:
    if not np.any(water.tan_mg_l_n):
        return 0 * water.salinity_g_kg + 1  # without ammonia any constant will do
    pk = clegg_whitfield_pk(temperature_c=water.temperature_c, salinity_g_kg=water.salinity_g_kg)
    return ten_to(-pk)


def _ammonia_mol_kg(water: Water[Number], density_kg_l: Number) -> Number:
    return water.tan_mg_l_n / (1000 * NITROGEN_G_MOL * density_kg_l)


def _calcium_mol_kg(water: Water[Number], usual: Number, density_kg_l: Number) -> Number:
    if water.calcium_mg_l is None:
        return usual
    within(CALCIUM, calcium_mg_l=water.calcium_mg_l)
    return water.calcium_mg_l / (1000 * CALCIUM_G_MOL * density_kg_l)


def _mixed(water: Water[Any], salts_mol_kg: Any, kinds: Any) -> Acids[Floats]:
    """Put together the constants of an array that holds several kinds of water."""
    columns = {
        field.name: np.asarray(getattr(water, field.name), dtype=float)
        for field in fields(Water)
        if field.name != "boron" and getattr(water, field.name) is not None
    }
    columns["salts"] = np.asarray(salts_mol_kg, dtype=float)
    spread = dict(zip(columns, np.broadcast_arrays(*columns.values()), strict=True))
    which = _kind(spread["temperature_c"], spread["salinity_g_kg"])
    whole = {field.name: np.empty(which.shape) for field in fields(Acids)}
    for kind in kinds:
        part = {name: column[which == kind] for name, column in spread.items()}
        salts = part.pop("salts")
        acids = _BY_KIND[kind](Water(**part, boron=water.boron), salts)
        for name, column in whole.items():
            column[which == kind] = getattr(acids, name)
    return Acids(**whole)
