"""The rules about deaths a site starts with, as data. Pure.

Rules of thumb of the trade call as they stand. Published thresholds are there to be selected:
they were made for other animals and other purposes. Baselines are replaced by the site's own
figure as soon as enough is known.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

EDITION: Final = "2026-11"
_TRADE: Final = "common practice, no source"
_COMPUTED: Final = "Exact limits, computed with SciPy; the baseline: common practice, no source"
_SALMON: Final = (
    "Code of Good Practice for Scottish Finfish Aquaculture, as cited by a report on "
    "monitoring and enforcement"
)
_LOOK: Final = "Count, look at the others, keep a carcass cool, read the water before changing it."


@dataclass(frozen=True, slots=True, kw_only=True)
class HealthDefault:
    code: str
    title: str
    looks_for: str
    figures: Mapping[str, Any]
    source: str
    level: int = 1
    level_elsewhere: int = 2
    advice: str = _LOOK
    jurisdiction: str = ""
    is_on: bool = True


DEFAULTS: Final = (
    HealthDefault(
        code="excess-day",
        title="More deaths in a day than the baseline explains",
        looks_for="EXCESS",
        figures={"days": 1, "rare": 0.01, "baseline": 0.002, "least": 2, "own": 1},
        source=_COMPUTED,
    ),
    HealthDefault(
        code="excess-week",
        title="More deaths in a week than the baseline explains, by animal-days",
        looks_for="EXCESS",
        figures={
            "days": 7,
            "rare": 0.001,
            "baseline": 0.002,
            "least": 3,
            "own": 1,
            "law": "POISSON",
        },
        source=_COMPUTED,
        level=2,
        level_elsewhere=2,
    ),
    HealthDefault(
        code="share-day",
        title="More than 2 % of a lot within 24 h",
        looks_for="SHARE",
        figures={"days": 1, "share": 0.02, "least": 1},
        source=_TRADE,
    ),
    HealthDefault(
        code="share-week",
        title="More than 5 % of a lot within 7 days",
        looks_for="SHARE",
        figures={"days": 7, "share": 0.05, "least": 2},
        source=_TRADE,
    ),
    HealthDefault(
        code="unexplained",
        title="Three deaths without a known cause in any tank",
        looks_for="UNEXPLAINED",
        figures={"deaths": 3, "days": 7},
        source=_TRADE,
        advice="Have a fresh carcass opened, and ask the veterinarian; think of a hold.",
    ),
    HealthDefault(
        code="doubling",
        title="Deaths doubling from day to day",
        looks_for="DOUBLING",
        figures={"times": 2, "least": 2},
        source=_TRADE,
        advice="Read the water now, ask the veterinarian, stop moves in and out.",
    ),
    HealthDefault(
        code="after-act",
        title="A death within 48 h of a dose, a water change or an arrival",
        looks_for="AFTER",
        figures={"hours": 48},
        source=_TRADE,
        level=1,
        level_elsewhere=1,
        advice="Give no further dose before it is understood; check product, volume and water.",
    ),
    HealthDefault(
        code="feed-refused",
        title="Feed refused two meals running",
        looks_for="REFUSED",
        figures={"meals": 2},
        source=_TRADE,
        level=3,
        level_elsewhere=3,
        advice="Look at breathing and signs; read the water.",
    ),
    HealthDefault(
        code="salmon-week",
        title="More than 1 % within a week (fish of 750 g and more)",
        looks_for="SHARE",
        figures={"days": 7, "share": 0.01},
        source=_SALMON,
        jurisdiction="Scotland, marine salmon, voluntary",
        level=2,
        is_on=False,
    ),
    HealthDefault(
        code="salmon-five-weeks",
        title="More than 4 % within five weeks (fish of 750 g and more)",
        looks_for="SHARE",
        figures={"days": 35, "share": 0.04},
        source=_SALMON,
        jurisdiction="Scotland, marine salmon, voluntary",
        level=2,
        is_on=False,
    ),
    HealthDefault(
        code="small-salmon-week",
        title="More than 1.5 % within a week (fish below 750 g)",
        looks_for="SHARE",
        figures={"days": 7, "share": 0.015},
        source=_SALMON,
        jurisdiction="Scotland, marine salmon, voluntary",
        level=2,
        is_on=False,
    ),
    HealthDefault(
        code="small-salmon-five-weeks",
        title="More than 6 % within five weeks (fish below 750 g)",
        looks_for="SHARE",
        figures={"days": 35, "share": 0.06},
        source=_SALMON,
        jurisdiction="Scotland, marine salmon, voluntary",
        level=2,
        is_on=False,
    ),
    HealthDefault(
        code="marine-ornamental-chain",
        title="More than 1 % after arrival",
        looks_for="SHARE",
        figures={"days": 7, "share": 0.01},
        source="Marine Aquarium Council 2001, as told by the trade press, May 2002",
        jurisdiction="Voluntary, marine ornamentals",
        level=2,
        is_on=False,
    ),
)
