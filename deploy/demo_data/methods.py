"""What is measured with, and what each method shows of a value that is known.

Kits, steps and errors are invented; that a colour kit errs by a tenth or two and is read between
its colours is common practice, no source.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import log
from typing import Final

import numpy as np

from chemistry.alkalinity import caco3_from_meq_l, dkh_from_meq_l
from chemistry.nitrogen import Basis, from_nitrogen
from chemistry.salinity import specific_gravity
from deploy.demo_data.acts import Act, Weeks, decimal, ident
from deploy.demo_data.house import SITE_ID
from deploy.demo_data.people import MANAGER
from tanks.commands.methods import DefineMethod

# How near to a colour a value must lie, on the way to the next, to be called by that colour.
_NEAR: Final = 0.32
# Fainter than this share of the first colour is none; darker than this of the last is beyond it.
_FAINT: Final = 0.75
_DARK: Final = 1.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """One method; ``shown`` turns a canonical value into its unit, ``error`` is a share or step."""

    name: str
    kind: str
    parameter: str
    unit: str
    basis: str = ""
    steps: tuple[float, ...] = ()
    lowest: float | None = None
    highest: float | None = None
    places: int = 2
    share: float = 0.0
    error: float = 0.0
    shown: Callable[[float], float] = float

    def text(self, canonical: float, chance: np.random.Generator) -> str:
        """Return what a person would write down."""
        value = self.shown(canonical) * (1 + self.share * float(chance.standard_normal()))
        value += self.error * float(chance.standard_normal())
        return self._by_colour(value) if self.steps else self._by_figure(value)

    def _by_figure(self, value: float) -> str:
        if self.lowest is not None and value < self.lowest:
            return f"<{self.lowest:g}"
        if self.highest is not None and value > self.highest:
            return f">{self.highest:g}"
        return f"{value:.{self.places}f}"

    def _by_colour(self, value: float) -> str:
        if value < self.steps[0] * _FAINT:
            return f"<{self.steps[0]:g}"
        if value > self.steps[-1] * _DARK:
            return f">{self.steps[-1]:g}"
        if value <= self.steps[0] or value >= self.steps[-1]:
            return f"{self.steps[0] if value <= self.steps[0] else self.steps[-1]:g}"
        return next(
            _between(value, low, high) for low, high in pairwise(self.steps) if value <= high
        )


def _between(value: float, low: float, high: float) -> str:
    way = log(value / low) / log(high / low)
    if way < _NEAR:
        return f"{low:g}"
    return f"{high:g}" if way > 1 - _NEAR else f"{low:g}-{high:g}"


def _as(basis: Basis) -> Callable[[float], float]:
    return lambda value: from_nitrogen(value, basis=basis)


def _gravity(salinity_g_kg: float) -> float:
    return specific_gravity(salinity_g_kg=salinity_g_kg, water_c=20.0, reference_c=20.0)


METHODS: Final = {
    "tan kit": Means(
        name="Ammonia drop kit",
        kind="COLOUR_KIT",
        parameter="TAN",
        unit="mg/L",
        basis="NH4",
        steps=(0.05, 0.1, 0.2, 0.4, 0.8, 1.6, 3, 6),
        share=0.1,
        shown=_as(Basis.NH4),
    ),
    "tan photometer": Means(
        name="Bench photometer, ammonia",
        kind="PHOTOMETER",
        parameter="TAN",
        unit="mg/L",
        basis="N",
        lowest=0.02,
        highest=6,
        share=0.025,
    ),
    "nitrite kit": Means(
        name="Nitrite drop kit",
        kind="COLOUR_KIT",
        parameter="NITRITE",
        unit="mg/L",
        basis="NO2",
        steps=(0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10),
        share=0.1,
        shown=_as(Basis.NO2),
    ),
    "nitrite photometer": Means(
        name="Bench photometer, nitrite",
        kind="PHOTOMETER",
        parameter="NITRITE",
        unit="mg/L",
        basis="N",
        lowest=0.005,
        highest=6,
        places=3,
        share=0.03,
    ),
    "nitrate kit": Means(
        name="Nitrate drop kit",
        kind="COLOUR_KIT",
        parameter="NITRATE",
        unit="mg/L",
        basis="NO3",
        steps=(5, 10, 20, 40, 80, 160),
        share=0.12,
        shown=_as(Basis.NO3),
    ),
    "nitrate photometer": Means(
        name="Bench photometer, nitrate",
        kind="PHOTOMETER",
        parameter="NITRATE",
        unit="mg/L",
        basis="N",
        lowest=0.2,
        highest=60,
        places=1,
        share=0.05,
    ),
    "ph probe": Means(
        name="pH meter, two-point calibrated",
        kind="PROBE",
        parameter="PH",
        unit="pH",
        basis="NBS",
        error=0.03,
    ),
    "alkalinity drops": Means(
        name="Alkalinity drop titration",
        kind="TITRATION",
        parameter="ALKALINITY",
        unit="dKH",
        lowest=0.5,
        places=1,
        error=0.12,
        shown=lambda meq_l: dkh_from_meq_l(alkalinity_meq_l=meq_l),
    ),
    "alkalinity burette": Means(
        name="Burette to pH 4.5",
        kind="TITRATION",
        parameter="ALKALINITY",
        unit="mg/L",
        basis="CaCO3",
        lowest=5,
        places=0,
        error=2.0,
        shown=lambda meq_l: caco3_from_meq_l(alkalinity_meq_l=meq_l),
    ),
    "temperature probe": Means(
        name="Digital thermometer",
        kind="PROBE",
        parameter="TEMPERATURE",
        unit="degC",
        places=1,
        error=0.1,
    ),
    "temperature glass": Means(
        name="Glass thermometer",
        kind="PROBE",
        parameter="TEMPERATURE",
        unit="degF",
        places=0,
        error=0.4,
        shown=lambda celsius: celsius * 1.8 + 32,
    ),
    "salinity probe": Means(
        name="Conductivity meter",
        kind="PROBE",
        parameter="SALINITY",
        unit="g/kg",
        places=1,
        error=0.1,
    ),
    "salinity refractometer": Means(
        name="Refractometer, 20/20",
        kind="PROBE",
        parameter="SALINITY",
        unit="SG 20/20",
        places=3,
        error=0.0003,
        shown=_gravity,
    ),
    "oxygen probe": Means(
        name="Optical oxygen probe",
        kind="PROBE",
        parameter="OXYGEN",
        unit="mg/L",
        places=1,
        error=0.08,
    ),
    "oxygen share": Means(
        name="Membrane oxygen probe",
        kind="PROBE",
        parameter="OXYGEN",
        unit="%",
        places=0,
        error=1.0,
    ),
    "chlorine photometer": Means(
        name="Bench photometer, total chlorine",
        kind="PHOTOMETER",
        parameter="CHLORINE",
        unit="mg/L",
        basis="Cl2",
        lowest=0.01,
        highest=5,
        share=0.03,
    ),
}


def defined(weeks: Weeks) -> Iterator[Act]:
    """Describe every method to the site."""
    for key, means in METHODS.items():
        command = DefineMethod(
            id=ident(f"method:{key}"),
            site_id=SITE_ID,
            name=means.name,
            kind=means.kind,
            parameter=means.parameter,
            unit=means.unit,
            basis=means.basis,
            steps=tuple(decimal(step) for step in means.steps),
            lowest=_edge(means.steps[0] if means.steps else means.lowest),
            highest=_edge(means.highest),
        )
        yield Act(at=weeks.at(0, "07:12"), by=MANAGER, command=command)


def _edge(limit: float | None) -> Decimal | None:
    return None if limit is None else decimal(limit, places=3)
