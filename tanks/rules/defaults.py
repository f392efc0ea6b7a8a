"""What a new site starts with: one policy and the limits, each with where it comes from.

These are data, not rules. A site replaces any of them by rows of its own; the rows
say whether the authors have read the figure in a public text (``verified_on``).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal as D  # noqa: N817  a table of figures, kept readable
from itertools import chain
from typing import Final, TypeAlias

UNIONISED: Final = "UNIONISED_AMMONIA"
FRESH, BRACKISH, MARINE = "FRESH", "BRACKISH", "MARINE"
CYCLING, STOCKED = "CYCLING", "STOCKED"


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    source: str
    edition: str = ""
    jurisdiction: str = ""
    verified_on: date | None = None
    verified_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitValues:
    """``low`` and ``high`` in ``unit`` on ``basis``; level 1 asks for action now, 2 today."""

    parameter: str
    water_kind: str
    stage: str
    low: D | None = None
    high: D | None = None
    unit: str
    basis: str = ""
    level: int
    advice: str
    origin: Origin


PRACTICE: Final = Origin(source="common practice, no source")
_START_UP_TEXT: Final = Origin(
    source="Losordo & DeLong, starting biofilters (SRAC 4502), as quoted by the trade"
)
_UK: Final = Origin(
    source="Statutory guidance for selling animals as pets, fish; from memory, unverified",
    edition="updated 1 June 2024",
    jurisdiction="GB-ENG",
)
_CHLORINE: Final = Origin(
    source="Ambient Water Quality Criteria for Chlorine - 1984, US EPA 440/5-84-030",
    edition="January 1985",
    jurisdiction="US",
    verified_on=date(2026, 11, 25),
    verified_by="the authors, in Washington Administrative Code 173-201A-240",
)
_AMMONIA_SALT: Final = Origin(
    source="Ambient Water Quality Criteria for Ammonia (Saltwater) - 1989, US EPA 440/5-88-004",
    edition="April 1989",
    jurisdiction="US",
    verified_on=date(2026, 11, 25),
    verified_by="the authors, in Washington Administrative Code 173-201A-240",
)
_OXYGEN: Final = Origin(
    source="Ambient Water Quality Criteria for Dissolved Oxygen, US EPA 440/5-86-003, warm water",
    edition="1986",
    jurisdiction="US",
    verified_on=date(2026, 11, 25),
    verified_by="the authors, in the agency's published table of criteria",
)

POLICY: Final = {
    "temperature_low_c": D("26.0"),
    "temperature_high_c": D("30.0"),
    "marine_salinity_low_g_kg": D("18.0"),
    "marine_salinity_high_g_kg": D("20.0"),
    "tan_cap_mg_l_n": D("5.00"),
    "dose_mg_l_n": D("2.00"),
    "redose_tan_mg_l_n": D("0.50"),
    "redose_nitrite_mg_l_n": D("2.00"),
    "alkalinity_low_meq_l": D("2.00"),
    "oxygen_low_percent": D("80.0"),
    "challenge_mg_l_n": D("2.00"),
    "challenge_hours": D("24.0"),
    "challenge_limit_mg_l_n": D("0.250"),
    "passes_needed": 2,
    "unfed_days": D("3.0"),
    "power_loss_hours": D("4.0"),
    "ph_floor": D("6.5"),
    "reading_fresh_hours": D("24.0"),
    "tested_share_percent": D("10.0"),
}
POLICY_ORIGIN: Final = PRACTICE


_Row: TypeAlias = tuple[str, int, str, str, str, str, str, Origin]
# parameter, level, low, high, unit, basis, advice, origin
_START_UP: Final[tuple[_Row, ...]] = (
    ("TAN", 1, "", "5", "mg/L", "N", "Add no ammonia until it has fallen.", PRACTICE),
    ("NITRITE", 2, "", "5", "mg/L", "N", "Add no ammonia until nitrite has fallen.", PRACTICE),
    ("PH", 1, "6.5", "", "pH", "NBS", "Raise alkalinity: nitrification all but stops.", PRACTICE),
    ("PH", 3, "7.5", "8.3", "pH", "NBS", "The range to start a biofilter in.", PRACTICE),
    (
        "ALKALINITY",
        2,
        "2",
        "",
        "meq/L",
        "",
        "Raise alkalinity: each mg of nitrogen oxidised uses 0.143 meq.",
        _START_UP_TEXT,
    ),
    (
        "TEMPERATURE",
        2,
        "26",
        "30",
        "degC",
        "",
        "Bring the temperature back to the start-up range.",
        PRACTICE,
    ),
    (
        "OXYGEN",
        2,
        "80",
        "",
        "%",
        "",
        "Aerate: nitrifiers use 4.6 mg of oxygen for each mg of nitrogen.",
        PRACTICE,
    ),
)
_START_UP_MARINE: Final[tuple[_Row, ...]] = (
    (
        "SALINITY",
        3,
        "18",
        "20",
        "g/kg",
        "",
        "The range to start a marine biofilter in; raise it before stocking.",
        PRACTICE,
    ),
)
_RETEST: Final = "Dechlorinate, mix, and test total chlorine again."
_CHLORINE_FRESH: Final[tuple[_Row, ...]] = (
    ("CHLORINE", 1, "", "0.019", "mg/L", "Cl2", _RETEST, _CHLORINE),
    ("CHLORINE", 2, "", "0.011", "mg/L", "Cl2", _RETEST, _CHLORINE),
)
_CHLORINE_SALT: Final[tuple[_Row, ...]] = (
    ("CHLORINE", 1, "", "0.013", "mg/L", "Cl2", _RETEST, _CHLORINE),
    ("CHLORINE", 2, "", "0.0075", "mg/L", "Cl2", _RETEST, _CHLORINE),
)
_WITH_ANIMALS: Final[tuple[_Row, ...]] = (
    ("TAN", 2, "", "0.25", "mg/L", "N", "Feed less, find what died, test again today.", PRACTICE),
    ("OXYGEN", 1, "3", "", "mg/L", "", "Aerate now and stop feeding.", _OXYGEN),
    ("TEMPERATURE", 3, "24", "26", "degC", "", "A usual tropical range; set your own.", PRACTICE),
    ("ALKALINITY", 2, "1", "", "meq/L", "", "Raise it in steps before the pH falls.", PRACTICE),
)
# The British text names no basis: ammonia counts as NH₃ and nitrite as NO₂, the stricter.
_FEED_LESS: Final = "Feed less, change water, aerate; test again today."
_CHANGE: Final = "Change water."
_ABOVE_SOURCE: Final = "Change water; the limit counts above the source water."
_ONE_HOUR: Final = "Stop feeding and change water now: this is a one-hour limit."
_FRESH: Final[tuple[_Row, ...]] = (
    (UNIONISED, 2, "", "0.02", "mg/L", "NH3", _FEED_LESS, _UK),
    ("NITRITE", 2, "", "0.2", "mg/L", "NO2", _FEED_LESS, _UK),
    ("NITRATE", 2, "", "50", "mg/L", "NO3", _ABOVE_SOURCE, _UK),
    ("OXYGEN", 2, "6", "", "mg/L", "", "Aerate and look for the cause.", _UK),
    ("PH", 2, "6.5", "9", "pH", "NBS", "Test alkalinity and source water first.", PRACTICE),
)
_BRACKISH: Final[tuple[_Row, ...]] = (
    (UNIONISED, 1, "", "0.233", "mg/L", "NH3", _ONE_HOUR, _AMMONIA_SALT),
    (UNIONISED, 2, "", "0.02", "mg/L", "NH3", _FEED_LESS, PRACTICE),
    ("NITRITE", 2, "", "0.2", "mg/L", "NO2", _FEED_LESS, PRACTICE),
    ("NITRATE", 2, "", "50", "mg/L", "NO3", _CHANGE, PRACTICE),
)
_MARINE: Final[tuple[_Row, ...]] = (
    (UNIONISED, 1, "", "0.233", "mg/L", "NH3", _ONE_HOUR, _AMMONIA_SALT),
    (UNIONISED, 2, "", "0.01", "mg/L", "NH3", _FEED_LESS, _UK),
    ("NITRITE", 2, "", "0.125", "mg/L", "NO2", _FEED_LESS, _UK),
    ("NITRATE", 2, "", "100", "mg/L", "NO3", _CHANGE, _UK),
    ("OXYGEN", 2, "5.5", "", "mg/L", "", "Aerate and look for the cause.", _UK),
    ("PH", 2, "8.1", "", "pH", "NBS", "Test alkalinity and aerate first.", _UK),
    ("SALINITY", 3, "34", "36", "g/kg", "", "Full sea water; set your own for less.", PRACTICE),
)


def limits() -> tuple[LimitValues, ...]:
    """Return every limit a new site starts with."""
    return (
        *_limits(FRESH, CYCLING, _START_UP, _CHLORINE_FRESH),
        *_limits(BRACKISH, CYCLING, _START_UP, _CHLORINE_SALT),
        *_limits(MARINE, CYCLING, _START_UP, _START_UP_MARINE, _CHLORINE_SALT),
        *_limits(FRESH, STOCKED, _WITH_ANIMALS, _FRESH, _CHLORINE_FRESH),
        *_limits(BRACKISH, STOCKED, _WITH_ANIMALS, _BRACKISH, _CHLORINE_SALT),
        *_limits(MARINE, STOCKED, _WITH_ANIMALS, _MARINE, _CHLORINE_SALT),
    )


def _limits(kind: str, stage: str, *tables: tuple[_Row, ...]) -> Iterator[LimitValues]:
    for parameter, level, low, high, unit, basis, advice, origin in chain(*tables):
        yield LimitValues(
            parameter=parameter,
            water_kind=kind,
            stage=stage,
            low=D(low) if low else None,
            high=D(high) if high else None,
            unit=unit,
            basis=basis,
            level=level,
            advice=advice,
            origin=origin,
        )
