"""What a start-up policy may say, and how its figures are called. Pure."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure of a policy: its column, its words, its unit and the widest it may be."""

    name: str
    label: str
    unit: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsound:
    """A figure that does not go with another, and what to change."""

    name: str
    sentence: str


def _figure(name: str, label: str, unit: str, low: str, high: str) -> Figure:
    return Figure(name=name, label=label, unit=unit, low=Decimal(low), high=Decimal(high))


# The widest values: what the formulas and the columns hold, not advice.
FIGURES: Final = (
    _figure("temperature_low_c", "Start-up temperature from", "degC", "5", "40"),
    _figure("temperature_high_c", "Start-up temperature to", "degC", "5", "40"),
    _figure("marine_salinity_low_g_kg", "Marine start-up salinity from", "g/kg", "1", "42"),
    _figure("marine_salinity_high_g_kg", "Marine start-up salinity to", "g/kg", "1", "42"),
    _figure("tan_cap_mg_l_n", "TAN is never dosed above", "mg/L-N", "0.5", "10"),
    _figure("dose_mg_l_n", "Ammonia dose", "mg/L-N", "0.1", "10"),
    _figure("redose_tan_mg_l_n", "Dose again when TAN is at most", "mg/L-N", "0.05", "5"),
    _figure("redose_nitrite_mg_l_n", "and nitrite at most", "mg/L-N", "0.05", "10"),
    _figure("alkalinity_low_meq_l", "Alkalinity at least", "meq/L", "0.1", "10"),
    _figure("oxygen_low_percent", "Oxygen at least, of saturation", "%", "30", "100"),
    _figure("challenge_mg_l_n", "Challenge, at least", "mg/L-N", "0.5", "10"),
    _figure("challenge_hours", "To be cleared within", "h", "6", "72"),
    _figure(
        "challenge_limit_mg_l_n", "Cleared means TAN and nitrite at most", "mg/L-N", "0.01", "1"
    ),
    _figure("passes_needed", "Passes in a row", "", "2", "7"),
    _figure("unfed_days", "A proven filter may go unfed for", "d", "0.5", "14"),
    _figure("power_loss_hours", "and without flow for", "h", "0.5", "48"),
    _figure("ph_floor", "A pH below this voids the proof", "pH", "5", "8"),
    _figure("reading_fresh_hours", "A reading counts as fresh for", "h", "1", "168"),
    _figure("tested_share_percent", "Tanks by themselves, tested each week", "%", "1", "100"),
)
_ORDERED: Final = (
    ("temperature_low_c", "temperature_high_c"),
    ("marine_salinity_low_g_kg", "marine_salinity_high_g_kg"),
    ("dose_mg_l_n", "tan_cap_mg_l_n"),
    ("challenge_mg_l_n", "tan_cap_mg_l_n"),
    ("redose_tan_mg_l_n", "tan_cap_mg_l_n"),
)


def unsound(values: Mapping[str, Decimal | int]) -> Iterator[Unsound]:
    """Yield every figure that is off its scale or above one it must stay below."""
    called = {figure.name: figure for figure in FIGURES}
    for figure in FIGURES:
        if not figure.low <= values[figure.name] <= figure.high:
            span = f"{figure.low} to {figure.high} {figure.unit}".strip()
            yield Unsound(name=figure.name, sentence=f"{figure.label}: give {span}.")
    for lower, upper in _ORDERED:
        if values[lower] > values[upper]:
            told = f"{called[lower].label} must not be above: {called[upper].label.lower()}."
            yield Unsound(name=lower, sentence=told)
