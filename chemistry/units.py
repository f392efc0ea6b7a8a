"""The door for other people's units: text or number in, a canonical float out.

The one pint registry of the house. What would be guessed is refused: a bare gallon, ppm,
and mg/L of nitrogen without its basis. ``mg/L`` of anything else stays plain mg/L.
``tsp`` is the metric 5 mL, ``tsp_us`` 4.929 mL; a spoon of powder is a volume, not a weight.
Salinity in ppt, ‰ or psu is taken numerically as g/kg.
"""

import re
from typing import Final

import pint
from pint.errors import PintError

from chemistry.alkalinity import (
    DKH_PER_MEQ_L,
    MG_L_CACO3_PER_CLARK_DEGREE,
    MG_L_CACO3_PER_FRENCH_DEGREE,
    MG_L_CACO3_PER_GRAIN_PER_US_GALLON,
    MG_L_CACO3_PER_MEQ_L,
)
from chemistry.constants import DICHLORINE_G_MOL, MONOCHLORAMINE_G_MOL
from chemistry.nitrogen import G_PER_G_N, UMOL_PER_MG_N, Basis


class WrongUnit(ValueError):  # noqa: N818 - the house names refusals by what is so
    """A quantity cannot be read, or not in the unit that was asked for."""


class WrongKind(WrongUnit):
    """A temperature where a volume is asked, or the like; kinds as words, "" where unnamed."""

    def __init__(self, unit: str, *, to: str, given_kind: str, asked_kind: str) -> None:
        self.given_kind = given_kind
        self.asked_kind = asked_kind
        super().__init__(f"“{unit}” cannot be turned into {to}.")


_DEFINITIONS: Final = (
    "tsp_metric = 5 * milliliter",
    "tbsp_metric = 15 * milliliter",
    "equivalent = [charge_equivalent] = eq",
    f"dkh = {1 / DKH_PER_MEQ_L!r} * milliequivalent / liter",
    f"gram_caco3 = {1 / MG_L_CACO3_PER_MEQ_L!r} * equivalent = g_CaCO3",
    f"french_degree = {MG_L_CACO3_PER_FRENCH_DEGREE!r} * milligram_caco3 / liter",
    f"clark_degree = {MG_L_CACO3_PER_CLARK_DEGREE!r} * milligram_caco3 / liter",
    f"grain_degree = {MG_L_CACO3_PER_GRAIN_PER_US_GALLON!r} * milligram_caco3 / liter",
    "gram_as_n = [nitrogen] = g_N",
    "gram_as_cl2 = [chlorine] = g_Cl2",
    f"gram_as_nh2cl = {DICHLORINE_G_MOL / MONOCHLORAMINE_G_MOL!r} * gram_as_cl2 = g_NH2Cl",
    f"mole_as_n = {1e3 / UMOL_PER_MG_N!r} * gram_as_n = mol_N",
    *(
        f"gram_as_{basis.lower()} = {1 / factor!r} * gram_as_n = g_{basis}"
        for basis, factor in G_PER_G_N.items()
        if basis is not Basis.N
    ),
)
_AMBIGUOUS: Final = {
    "gal": "gal_us or gal_imp (they differ by 20 %)",
    "gallon": "gal_us or gal_imp (they differ by 20 %)",
    "gallons": "gal_us or gal_imp (they differ by 20 %)",
    "ppm": "mg/L or mg/kg (in sea water they differ by 2 %)",
    "oz": "g, oz_weight or floz_us",
    "floz": "floz_us or mL",
    "ML": "mL or m3",
    "gr/gal": "gr/gal_us or degrees Clark (a grain in an imperial gallon)",
    "sg": "g/kg, after turning the specific gravity into salinity with its reference temperatures",
}
# Every name a person may write, without regard to case, on either side of one slash.
_NAMES: Final = {
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), "liter"),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), "milliliter"),
    **dict.fromkeys(("µl", "ul"), "microliter"),
    **dict.fromkeys(("m3", "m³"), "meter**3"),
    **dict.fromkeys(("cm3", "cm³", "cc"), "centimeter**3"),
    **dict.fromkeys(("ft3", "ft³"), "foot**3"),
    **dict.fromkeys(("gal_us", "us gal", "us gallon", "us gallons"), "gallon"),
    **dict.fromkeys(("gal_imp", "imp gal", "uk gal", "imperial gallons"), "imperial_gallon"),
    "floz_us": "fluid_ounce",
    **dict.fromkeys(("tsp", "teaspoon", "teaspoons"), "tsp_metric"),
    **dict.fromkeys(("tbsp", "tablespoon", "tablespoons"), "tbsp_metric"),
    "tsp_us": "teaspoon",
    "tbsp_us": "tablespoon",
    **dict.fromkeys(("g", "gram", "grams"), "gram"),
    **dict.fromkeys(("kg", "kilogram", "kilograms"), "kilogram"),
    **dict.fromkeys(("mg", "milligram", "milligrams"), "milligram"),
    **dict.fromkeys(("µg", "ug"), "microgram"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "pound"),
    **dict.fromkeys(("oz_weight", "oz_av"), "ounce"),
    "mol": "mole",
    "mmol": "millimole",
    **dict.fromkeys(("µmol", "umol"), "micromole"),
    **dict.fromkeys(("meq", "mval"), "milliequivalent"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "meter"),
    "cm": "centimeter",
    "mm": "millimeter",
    **dict.fromkeys(("in", "inch", "inches", '"'), "inch"),
    **dict.fromkeys(("ft", "foot", "feet"), "foot"),
    **dict.fromkeys(("f", "°f", "degf", "fahrenheit"), "degF"),
    **dict.fromkeys(("c", "°c", "degc", "celsius"), "degC"),
    **dict.fromkeys(("k", "kelvin"), "kelvin"),
    **dict.fromkeys(("ppt", "‰", "psu"), "gram/kilogram"),
    **dict.fromkeys(("dkh", "°dkh", "kh"), "dkh"),
    **dict.fromkeys(("fh", "°fh", "french degrees"), "french_degree"),
    **dict.fromkeys(("clark", "°clark", "°e", "clark degrees"), "clark_degree"),
    "ms": "millisiemens",
    **dict.fromkeys(("µs", "us"), "microsiemens"),
    "s": "second",
    **dict.fromkeys(("min", "minute", "minutes"), "minute"),
    **dict.fromkeys(("h", "hour", "hours"), "hour"),
    **dict.fromkeys(("d", "day", "days"), "day"),
    "atm": "atmosphere",
    "hpa": "hectopascal",
    "mbar": "millibar",
    "kpa": "kilopascal",
    "mmhg": "mmHg",
    "inhg": "inHg",
    **dict.fromkeys(("µatm", "uatm"), "microatmosphere"),
    "mv": "millivolt",
    **dict.fromkeys(("%", "percent"), "percent"),
    "1": "dimensionless",
}
_PHRASES: Final = {
    **dict.fromkeys(("mg/l caco3", "mg/l as caco3"), "mg_CaCO3/liter"),
    **dict.fromkeys(("gr/gal_us", "gr/gal_us caco3", "gr/us gal", "gpg"), "grain_degree"),
    **dict.fromkeys(("mg/l-n", "mg n/l"), "mg_N/liter"),
    **{
        f"{weight}/l {as_}{basis.lower()}": f"{prefix}g_{basis}/liter"
        for weight, prefix in (("mg", "m"), ("µg", "µ"), ("ug", "µ"), ("g", ""))
        for basis in Basis
        for as_ in ("as ", "")
    },
    **{
        f"{weight}/l {as_}{basis.lower()}": f"{prefix}g_{basis}/liter"
        for weight, prefix in (("mg", "m"), ("µg", "µ"), ("ug", "µ"))
        for basis in ("Cl2", "NH2Cl")
        for as_ in ("as ", "")
    },
    **{
        f"{amount}/l {as_}n": f"{prefix}mol_N/liter"
        for amount, prefix in (("mmol", "m"), ("µmol", "µ"), ("umol", "µ"))
        for as_ in ("as ", "")
    },
}
_KINDS: Final = (
    ("liter", "a volume"),
    ("degC", "a temperature"),
    ("gram", "a weight"),
    ("meter", "a length"),
    ("meter**2", "an area"),
    ("gram/liter", "a concentration without a basis"),
    ("g_N/liter", "a concentration of nitrogen"),
    ("g_Cl2/liter", "a concentration of chlorine"),
    ("eq/liter", "an alkalinity"),
    ("equivalent", "an amount of alkalinity"),
    ("mole", "an amount of substance"),
    ("mole/liter", "a molar concentration"),
    ("siemens/meter", "a conductivity"),
    ("hectopascal", "a pressure"),
    ("second", "a length of time"),
    ("liter/second", "a flow"),
    ("meter/second", "a speed"),
    ("volt", "a voltage"),
    ("dimensionless", "a ratio"),
)
_QUANTITY: Final = re.compile(r"\s*([-+−]?\d*\.?\d+(?:[eE][-+]?\d{1,2})?|[-+−]?\d+\.)\s*(.*)")
_NAMES_IN_A_RATIO: Final = 2
_COMMA: Final = re.compile(r"\s*[-+−]?\d*,\d")


def _registry() -> pint.UnitRegistry[float]:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    for definition in _DEFINITIONS:
        registry.define(definition)
    return registry


_REGISTRY: Final = _registry()


def magnitude(value: float, unit: str, *, to: str) -> float:
    """Return ``value`` ``unit`` expressed in ``to``; ``magnitude(78, "F", to="degC")`` is 25.56.

    Raises:
        WrongUnit: the unit is unknown, ambiguous or of another kind; the sentence says which.
    """
    source = _known(unit)
    target = _known(to)
    try:
        return float(_REGISTRY.Quantity(value, source).to(target).magnitude)
    except (PintError, ArithmeticError) as error:
        raise WrongKind(unit, to=to, given_kind=_kind(source), asked_kind=_kind(target)) from error


def parse_quantity(text: str, *, to: str) -> float:
    """Return what ``text`` says, in ``to``; a bare number is taken to be in ``to`` already.

    Raises:
        WrongUnit: the text has no number, a decimal comma, or a unit that does not fit.
    """
    number, unit = split_quantity(text, example=f"1.5 {to}")
    return magnitude(number, unit or to, to=to)


def split_quantity(text: str, *, example: str) -> tuple[float, str]:
    """Return the number and the unit as written, "" for a bare number.

    Raises:
        WrongUnit: the text has no number or a decimal comma.
    """
    if _COMMA.match(text):
        raise WrongUnit(f"Write “{text}” with a decimal point and without separators.")
    found = _QUANTITY.fullmatch(text)
    if found is None:
        raise WrongUnit(f"“{text}” is not a number with a unit, such as “{example}”.")
    number, unit = found.groups()
    return float(number.replace("−", "-")), unit.strip()


def _kind(unit: pint.Unit) -> str:
    shown = (words for name, words in _KINDS if _REGISTRY.Unit(name).is_compatible_with(unit))
    return next(shown, "")


def _known(unit: str) -> pint.Unit:
    # casefold also turns the micro sign into the Greek letter; the tables hold the sign.
    key = " ".join(unit.casefold().replace("\u03bc", "\u00b5").split())
    if clearer := _AMBIGUOUS.get(unit.strip()) or _AMBIGUOUS.get(key):
        raise WrongUnit(f"“{unit}” is ambiguous: write {clearer}.")
    spelled = _PHRASES.get(key) or _ratio(key)
    if spelled is None:
        raise WrongUnit(f"“{unit}” is not a unit known here.")
    return _REGISTRY.Unit(spelled)


def _ratio(key: str) -> str | None:
    names = [_NAMES.get(name.strip()) for name in key.split("/")]
    if len(names) > _NAMES_IN_A_RATIO or None in names:
        return None
    return "/".join(f"({name})" for name in names)
