"""What a species sheet may say: its figures, their scales, and which must not cross. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of a sheet; ``term`` names its column in a list, as Darwin Core spells terms."""

    name: str
    term: str
    label: str
    unit: str = ""
    low: Decimal
    high: Decimal
    is_whole: bool = False


@dataclass(frozen=True, slots=True)
class Unsound:
    name: str
    sentence: str


def _figure(
    name: str, term: str, label: str, scale: tuple[int, int], *, unit: str = "", whole: bool = False
) -> Figure:
    low, high = map(Decimal, scale)
    return Figure(name=name, term=term, label=label, unit=unit, low=low, high=high, is_whole=whole)


# Scales are wide on purpose: what no animal in human care is kept at. Common practice, no source.
FIGURES: Final = (
    _figure("temperature_low_c", "temperatureLowC", "Temperature from", (-2, 40), unit="degC"),
    _figure("temperature_high_c", "temperatureHighC", "Temperature to", (-2, 40), unit="degC"),
    _figure("ph_low", "phLow", "pH from", (3, 11)),
    _figure("ph_high", "phHigh", "pH to", (3, 11)),
    _figure("salinity_low_g_kg", "salinityLowGKg", "Salinity from", (0, 60), unit="g/kg"),
    _figure("salinity_high_g_kg", "salinityHighGKg", "Salinity to", (0, 60), unit="g/kg"),
    _figure(
        "shortest_stay_days",
        "shortestStayDays",
        "Shortest stay",
        (1, 730),
        unit="days",
        whole=True,
    ),
    _figure("months_run", "monthsRun", "Water must have run", (0, 120), unit="months", whole=True),
    _figure("stocking_order", "stockingOrder", "Place in stocking", (1, 99), whole=True),
)
_PAIRS: Final = (
    ("temperature_low_c", "temperature_high_c", "temperature"),
    ("ph_low", "ph_high", "pH"),
    ("salinity_low_g_kg", "salinity_high_g_kg", "salinity"),
)


def unsound(figures: Mapping[str, Decimal | int | None]) -> Iterator[Unsound]:
    """Yield what is off its scale or crosses; an empty figure is not known and never wrong."""
    for figure in FIGURES:
        value = figures.get(figure.name)
        if value is not None and not figure.low <= value <= figure.high:
            span = f"{figure.low} to {figure.high} {figure.unit}".strip()
            yield Unsound(figure.name, f"{figure.label}: give {span}, or leave it empty.")
    for low, high, name in _PAIRS:
        least, most = figures.get(low), figures.get(high)
        if least is not None and most is not None and least > most:
            yield Unsound(high, f"The upper {name} lies below the lower one; exchange them.")
