"""What a shipped alarm rule consists of, where the figures come from, and the feeding ladders."""

from dataclasses import dataclass, field
from typing import Any, Final

from tanks.rules.defaults import PRACTICE, Origin

RATE: Final = Origin(
    source="Common practice, no source; warmed pools were lost between two daily checks"
)
DAY: Final = Origin(source="Water-quality handout of a keepers' society; from memory, unverified")
AMMONIA: Final = Origin(
    source="Ammonia in Aquatic Systems, UF/IFAS FA031, harm from 0.05 mg/L un-ionised; "
    "from memory, unverified"
)
ALKALINITY: Final = Origin(
    source="A fish veterinarian on systems long in use; from memory, unverified"
)
BALANCE: Final = Origin(source="Follows from the acid-base balance of ammonia")
# The text names no basis: un-ionised ammonia counts as NH3, nitrite as NO2, the stricter.
LADDER: Final = Origin(
    source="Feeding ladder of a tilapia producer; from memory, unverified. Set your own"
)
FREE_LADDER: Final = [
    [0.033, "Feed a quarter less, change water, test again today."],
    [0.041, "Feed half as much, change water, test again today."],
    [0.058, "Stop feeding, change water now, test again within hours."],
]
NITRITE_LADDER: Final = [
    [0.15, "Feed a quarter less and test again today."],
    [0.18, "Feed half as much and test again today."],
    [0.30, "Stop feeding, change water, test again today."],
]
READ_BOTH: Final = "Read both again with one instrument; if they differ still, look at the valves."
LIMIT: Final = {"readings": 2, "minutes": 30, "up_to_level": 2}
LOGGED: Final = {"explained_by": ["water-change", "dose"], "explained_hours": 36}


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmValues:
    """One shipped rule; ``level`` is the most pressing it may be."""

    code: str
    title: str
    looks_for: str
    parameter: str = ""
    water_kind: str = ""
    stage: str = ""
    level: int
    figures: dict[str, Any] = field(default_factory=dict)
    advice: str
    origin: Origin = PRACTICE
