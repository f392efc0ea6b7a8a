"""Net litres of one vessel from what was read off a meter or a tape measure, with the working.

``basis`` is kept as it was given, numbers as text; a meter beats a tape measure.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final

from chemistry import volume
from chemistry.domain import SHARE, OutOfRange, within
from chemistry.units import magnitude

METERED, GEOMETRY = "METERED", "GEOMETRY"
METER_UNITS: Final = {
    "L": "L",
    "m3": "m³",
    "gal_us": "US gal",
    "gal_imp": "imperial gal",
    "ft3": "ft³",
}
# What each shape is measured by, in cm; the depth of water comes last.
SHAPES: Final = {
    "box": ("length_cm", "width_cm", "height_cm"),
    "cylinder": ("diameter_cm", "depth_cm"),
    "bow_front": ("length_cm", "end_width_cm", "centre_width_cm", "depth_cm"),
    "hexagon": ("side_cm", "depth_cm"),
}
_LEAST_L: Final = 0.01
_MOST_L: Final = 10_000_000.0


class BadBasis(ValueError):  # noqa: N818  an answer to the person, not an error of ours
    """What was measured gives no volume; ``field`` names what to mend."""

    def __init__(self, sentence: str, *, field: str) -> None:
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True, slots=True)
class Line:
    """One step of the working: what it is, and the litres it adds or takes away."""

    text: str
    litres: float


@dataclass(frozen=True, slots=True)
class Working:
    lines: tuple[Line, ...]

    @property
    def litres(self) -> float:
        return sum(line.litres for line in self.lines)


def working(means: str, basis: Mapping[str, Any]) -> Working:
    """Return how the net litres follow from ``basis``.

    Raises:
        BadBasis: a measure is missing, unreadable or impossible, or nothing is left for water.
    """
    try:
        lines = _metered(basis) if means == METERED else _by_geometry(basis)
    except OutOfRange as error:
        raise BadBasis(str(error), field=error.field) from error
    found = Working(lines)
    if found.litres < _LEAST_L:
        field = "litres" if means == METERED else "rock_kg"
        raise BadBasis("Nothing is left for water: check these measures.", field=field)
    if found.litres > _MOST_L:
        raise BadBasis("That is more than ten million litres: check the units.", field="litres")
    return found


def _metered(basis: Mapping[str, Any]) -> tuple[Line, ...]:
    if _given(basis, "litres"):
        litres = _number(basis, "litres")
        return (Line(f"{litres:g} L run in through the meter", litres),)
    begin, end = _number(basis, "meter_before"), _number(basis, "meter_after")
    if end <= begin:
        raise BadBasis("The meter must read more after filling than before.", field="meter_after")
    unit = str(basis.get("meter_unit", "L"))
    if unit not in METER_UNITS:
        raise BadBasis("Choose the unit on the meter's face.", field="meter_unit")
    text = f"meter from {begin:.12g} to {end:.12g} {METER_UNITS[unit]}"
    return (Line(text, magnitude(end - begin, unit, to="L")),)


def _by_geometry(basis: Mapping[str, Any]) -> tuple[Line, ...]:
    shape = str(basis.get("shape", ""))
    if shape not in SHAPES:
        raise BadBasis("Choose the shape of the tank.", field="shape")
    measures = {name: _number(basis, name) for name in SHAPES[shape]}
    extra = {name: _number(basis, name, "0") for name in _extra(shape)}
    gross = Line(_SAYS[shape].format(**measures, **extra), _FILLED[shape](**measures, **extra))
    taken = (*_bed(basis, shape, measures, extra), *_rock(basis))
    volume.net_l(gross_l=gross.litres, displaced_l=-sum(line.litres for line in taken))
    return (gross, *taken)


def _extra(shape: str) -> tuple[str, ...]:
    return ("glass_cm", "base_cm", "freeboard_cm") if shape == "box" else ()


def _bed(
    basis: Mapping[str, Any], shape: str, measures: dict[str, float], extra: dict[str, float]
) -> tuple[Line, ...]:
    """The grains of a bed as wide as the vessel; the water in its pores stays counted."""
    if not _given(basis, "bed_depth_cm"):
        return ()
    depth_cm, porosity = _number(basis, "bed_depth_cm"), _number(basis, "bed_porosity")
    within(volume.LENGTH, bed_depth_cm=depth_cm)
    within(SHARE, bed_porosity=porosity)
    flat = measures | extra | {SHAPES[shape][-1]: depth_cm + extra.get("base_cm", 0.0)}
    bed_l = _FILLED[shape](**flat | ({"freeboard_cm": 0.0} if shape == "box" else {}))
    text = f"bed {depth_cm:g} cm deep, {bed_l:.1f} L, of which {100 - 100 * porosity:g} % is grains"
    return (Line(text, -bed_l * (1 - porosity)),)


def _rock(basis: Mapping[str, Any]) -> tuple[Line, ...]:
    if not _given(basis, "rock_kg"):
        return ()
    mass_kg, density_kg_l = _number(basis, "rock_kg"), _number(basis, "rock_density_kg_l")
    litres = volume.rock_displacement_l(mass_kg=mass_kg, density_kg_l=density_kg_l)
    return (Line(f"rock, {mass_kg:g} kg at {density_kg_l:g} kg/L", -litres),)


_FILLED: Final[dict[str, Callable[..., float]]] = {
    "box": volume.box_l,
    "cylinder": volume.cylinder_l,
    "bow_front": volume.bow_front_l,
    "hexagon": volume.hexagon_l,
}
_SAYS: Final = {
    "box": "box {length_cm:g} × {width_cm:g} × {height_cm:g} cm outside, walls {glass_cm:g} cm, "
    "base {base_cm:g} cm, water {freeboard_cm:g} cm below the rim",
    "cylinder": "cylinder {diameter_cm:g} cm across inside, water {depth_cm:g} cm deep",
    "bow_front": "bow front {length_cm:g} cm long, {end_width_cm:g} cm at the ends, "
    "{centre_width_cm:g} cm in the middle, water {depth_cm:g} cm deep",
    "hexagon": "hexagon with sides of {side_cm:g} cm inside, water {depth_cm:g} cm deep",
}


def _given(basis: Mapping[str, Any], name: str) -> bool:
    return str(basis.get(name) if basis.get(name) is not None else "").strip() != ""


def _number(basis: Mapping[str, Any], name: str, default: str | None = None) -> float:
    if not _given(basis, name):
        if default is not None:
            return float(default)
        raise BadBasis("Fill this in, or leave out what belongs to it.", field=name)
    try:
        read = float(str(basis[name]))
    except ValueError as error:
        raise BadBasis("Write a number, such as 61.5.", field=name) from error
    if not isfinite(read):
        raise BadBasis("Write a number, such as 61.5.", field=name)
    return read
