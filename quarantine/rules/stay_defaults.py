"""What a new site starts with: stays, what sets them back, and life cycles, each with its source.

These are data, not rules. "From memory" means that nobody has read the figure for Penstock in
the text it names; a text quoted by another is said to be so. A site replaces any of them.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any, Final

from quarantine.rules.stays import IMPORT, QUARANTINE, SALE, CycleValues, PolicyValues, RuleValues

EDITION: Final = "25 November 2026"
_EU_MEMBERS: Final = frozenset(
    {"AT", "BE", "BG", "HR", "CY", "CZ", "DK", "EE", "FI", "FR", "DE", "GR", "HU", "IE", "IT"}
    | {"LV", "LT", "LU", "MT", "NL", "PL", "PT", "RO", "SK", "SI", "ES", "SE", "EU"}
)
_READ: Final[dict[str, Any]] = {
    "verified_on": date(2026, 11, 25),
    "verified_by": "the authors, in the published text",
}
_AU: Final = "Australian import conditions, freshwater ornamental fish"
_EU: Final = "Decision 2008/946/EC, superseded by (EU) 2020/691; from memory, unverified"

RULES: Final = (
    RuleValues(
        purpose=QUARANTINE,
        days=21,
        note="Three weeks at least for new fish.",
        source="UF/IFAS Circular 920, Francis-Floyd & Reed, as quoted by another text",
    ),
    RuleValues(
        purpose=QUARANTINE,
        water_kind="MARINE",
        days=28,
        note="14 to 28 days for all incoming, captive bred as well; the longer is taken.",
        source="Szczebak, Coral 2017",
        edition="10 February 2017",
        **_READ,
    ),
    RuleValues(
        purpose=SALE,
        days=2,
        note="At least 48 h, or until normal behaviour and feeding are back.",
        source="UK ornamental trade association code, receipt of livestock",
        edition="2015",
    ),
    RuleValues(
        purpose=QUARANTINE,
        days=30,
        note="The minimum of public aquaria.",
        source="Accreditation policy of US public aquaria; from memory, unverified",
        jurisdiction="US",
    ),
    RuleValues(
        purpose=IMPORT,
        group="FISH",
        water_kind="FRESH",
        days=14,
        note="Gouramis and cichlids before the review of 2014; poeciliids 7, goldfish 21.",
        source=f"{_AU}, draft import risk analysis, as quoted by another text",
        jurisdiction="AU",
    ),
)
# Not adopted unasked: they bind establishments approved for quarantine, not every house.
OFFERED: Final = (
    RuleValues(purpose=IMPORT, group="FISH", days=60, source=_EU, jurisdiction="EU", note="Fish."),
    RuleValues(
        purpose=IMPORT,
        group="CRUSTACEAN",
        days=40,
        source=_EU,
        jurisdiction="EU",
        note="Crustaceans.",
    ),
    RuleValues(
        purpose=IMPORT, group="MOLLUSC", days=90, source=_EU, jurisdiction="EU", note="Molluscs."
    ),
)

POLICY: Final = PolicyValues(
    on_treatment="PAUSE",
    on_death="COUNT",
    on_pathogen="RESET",
    quiet_days=14,
    clear_days=1,
    feeding_looks=2,
    look_hours=24,
    first_feed_percent=25,
    clean_days=3,
    source="common practice, no source",
)

# Published only at these temperatures; between them Penstock draws a line of its own.
LIFE_CYCLES: Final = (
    CycleValues(
        agent="Ichthyophthirius multifiliis",
        water_kind="FRESH",
        points=((7.0, 35.0), (24.0, 4.0)),
        cycles=1,
        note="Under 4 days above 24 °C, over 5 weeks below 7 °C; between them a line of our own.",
        source="UF/IFAS Circular 920, Francis-Floyd & Reed, as quoted by another text",
    ),
    CycleValues(
        agent="Neobenedenia sp.",
        water_kind="MARINE",
        points=((22.0, 16.0), (24.0, 16.0), (26.0, 13.0), (32.0, 13.0)),
        cycles=1,
        note="15-16 days at 22-24 °C and 10-13 at 26-32 °C at 40 g/kg; the slowest is taken.",
        source="Brazenor & Hutson, Parasitol Res 2015;114:1875-86",
        edition="2015, abstract",
        **_READ,
    ),
)


def rules_for(jurisdiction: str) -> Iterator[RuleValues]:
    """Yield what holds anywhere, and what the place asks for besides."""
    for rule in RULES:
        if rule.jurisdiction in ("", *_wider(jurisdiction)):
            yield rule


def rules_offered(jurisdiction: str) -> Iterator[RuleValues]:
    """Yield the other shipped rules, for a site that is bound by them or follows them."""
    here = set(rules_for(jurisdiction))
    return (rule for rule in (*RULES, *OFFERED) if rule not in here)


def is_abroad(origin: str, jurisdiction: str) -> bool:
    """Tell whether animals from the country ``origin`` come from another one; empty is home."""
    origin, country = origin.upper(), jurisdiction.upper().partition("-")[0]
    both_eu = origin in _EU_MEMBERS and country in _EU_MEMBERS
    return bool(origin) and origin != country and not both_eu


def _wider(jurisdiction: str) -> tuple[str, ...]:
    country = jurisdiction.upper().partition("-")[0]
    return (jurisdiction, country, *(("EU",) if country in _EU_MEMBERS else ()))
