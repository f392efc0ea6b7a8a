"""A tank reset, step after step in one order; each step names what must be true before it. Pure.

Clean before disinfecting, because what is left uses the disinfectant up (WOAH Aquatic Manual,
chapter 1.1.3, adopted May 2009); then contact, rinse, a reading without chlorine, drying.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

CLEANED, IN_CONTACT, RINSED = "CLEANED", "IN_CONTACT", "RINSED"
CHLORINE_ZERO, DRIED, READY, GIVEN_UP = "CHLORINE_ZERO", "DRIED", "READY", "GIVEN_UP"
ORDER: Final = (CLEANED, IN_CONTACT, RINSED, CHLORINE_ZERO, DRIED, READY)
# What stands in the tank's way until the next step; the first stands before any.
STATES: Final = {
    "": "Dirty",
    CLEANED: "Cleaned",
    IN_CONTACT: "Disinfectant in contact",
    RINSED: "Neutralised and rinsed",
    CHLORINE_ZERO: "No chlorine read",
    DRIED: "Dried",
    READY: "Ready to fill",
    GIVEN_UP: "Given up",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bath:
    """A usual strength and time; an unverified one carries a badge on screen."""

    chlorine_mg_l: float
    contact_minutes: int
    source: str
    is_verified: bool


BATHS: Final = (
    Bath(
        chlorine_mg_l=200,
        contact_minutes=60,
        source="WOAH Aquatic Manual, chapter 1.1.3; from memory, unverified",
        is_verified=False,
    ),
    Bath(
        chlorine_mg_l=100,
        contact_minutes=240,
        source="hours at half the strength; common practice, no source",
        is_verified=False,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How far a reset is; ``next_step`` is None when it has come to an end."""

    state: str
    since: datetime
    next_step: str | None
    contact_ends_at: datetime | None

    @property
    def is_running(self) -> bool:
        return self.next_step is not None

    @property
    def is_in_contact(self) -> bool:
        return self.state == IN_CONTACT


def standing(
    begun_at: datetime, steps: Mapping[str, datetime], *, contact_minutes: int
) -> Standing:
    """Return how far a reset is from when it began and when each step was done."""
    in_contact = steps.get(IN_CONTACT)
    done = [step for step in (*ORDER, GIVEN_UP) if step in steps]
    state = done[-1] if done else ""
    return Standing(
        state=state,
        since=steps[state] if state else begun_at,
        next_step=None if state in (READY, GIVEN_UP) else ORDER[len(done)],
        contact_ends_at=in_contact and in_contact + timedelta(minutes=contact_minutes),
    )


def is_too_early(now: Standing, step: str, happened_at: datetime) -> bool:
    """Tell whether a step lies before the one it follows."""
    return step != GIVEN_UP and happened_at < now.since


def is_contact_short(now: Standing, step: str, happened_at: datetime) -> bool:
    """Tell whether the disinfectant would be rinsed off before its time."""
    ends = now.contact_ends_at
    return step == RINSED and ends is not None and happened_at < ends
