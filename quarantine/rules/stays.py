"""How many days a lot must stay: what policy, species and the slowest parasite ask for. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil, exp, log
from typing import Final

QUARANTINE: Final = "QUARANTINE"
IMPORT: Final = "IMPORT"
SALE: Final = "SALE"


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleValues:
    """The fewest days for one purpose; an empty group or kind of water is any."""

    purpose: str
    days: int
    group: str = ""
    water_kind: str = ""
    note: str = ""
    source: str
    edition: str = ""
    jurisdiction: str = ""
    verified_on: date | None = None
    verified_by: str = ""

    def applies(self, *, purpose: str, group: str, water_kind: str) -> bool:
        return (
            self.purpose == purpose
            and self.group in ("", group)
            and self.water_kind in ("", water_kind)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyValues:
    """What events do to the clock and what a release asks besides days; see ``StayPolicy``."""

    on_treatment: str
    on_death: str
    on_pathogen: str
    quiet_days: int
    clear_days: int
    feeding_looks: int
    look_hours: int
    first_feed_percent: int
    clean_days: int
    source: str
    edition: str = ""
    jurisdiction: str = ""
    verified_on: date | None = None
    verified_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleValues:
    """Days of a life cycle by temperature, from cold to warm: ``(temperature_c, days)``."""

    agent: str
    water_kind: str
    points: tuple[tuple[float, float], ...]
    cycles: int
    note: str = ""
    source: str
    edition: str = ""
    jurisdiction: str = ""
    verified_on: date | None = None
    verified_by: str = ""

    def days_at(self, temperature_c: float) -> float | None:
        """Return how long one life cycle takes, or None where it is colder than published.

        Between two published temperatures the logarithm of the days is taken as a straight
        line; above the warmest the days of the warmest hold.
        """
        if temperature_c < self.points[0][0]:
            return None
        for (cold_c, slow), (warm_c, fast) in zip(self.points, self.points[1:], strict=False):
            if cold_c <= temperature_c < warm_c:
                share = (temperature_c - cold_c) / (warm_c - cold_c)
                return exp(log(slow) + share * (log(fast) - log(slow)))
        return self.points[-1][1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Days that somebody asks for, and why; ``days`` None where it cannot be told."""

    days: int | None
    why: str
    source: str
    is_verified: bool


def shortest(
    rules: Iterable[RuleValues],
    *,
    group: str,
    water_kind: str,
    is_from_abroad: bool,
    sheet_days: int | None,
) -> list[Asked]:
    """Return everything that asks for days of a lot, the most first."""
    purposes = (QUARANTINE, IMPORT) if is_from_abroad else (QUARANTINE,)
    found = [
        _asked(rule)
        for rule in rules
        if any(
            rule.applies(purpose=purpose, group=group, water_kind=water_kind)
            for purpose in purposes
        )
    ]
    if sheet_days is not None:
        found.append(Asked(days=sheet_days, why="the species' sheet", source="", is_verified=True))
    return sorted(found, key=lambda one: (-(one.days or 0), one.why))


def rest_days(rules: Iterable[RuleValues], *, group: str, water_kind: str) -> int:
    """Return how long such animals rest in the house before they may be sold."""
    found = (
        rule.days
        for rule in rules
        if rule.applies(purpose=SALE, group=group, water_kind=water_kind)
    )
    return max(found, default=0)


def most(asked: Iterable[Asked]) -> int:
    return max((one.days for one in asked if one.days is not None), default=0)


def slowest(
    cycles: Iterable[CycleValues], *, water_kind: str, coldest_c: float | None
) -> list[Asked]:
    """Return what each parasite of this kind of water asks for by the coldest day logged.

    The slowest day sets the pace for the whole stay, whatever the set-point was.
    """
    return [_cycle(one, coldest_c) for one in cycles if one.water_kind == water_kind]


def coldest(readings: Mapping[date, float]) -> tuple[date, float] | None:
    """Return the day whose lowest reading was the lowest of all."""
    return min(readings.items(), key=lambda day: (day[1], day[0]), default=None)


def _asked(rule: RuleValues) -> Asked:
    words = {QUARANTINE: "quarantine", IMPORT: "animals from abroad", SALE: "rest before sale"}
    return Asked(
        days=rule.days,
        why=words[rule.purpose],
        source=rule.source,
        is_verified=rule.verified_on is not None,
    )


def _cycle(values: CycleValues, coldest_c: float | None) -> Asked:
    one = None if coldest_c is None else values.days_at(coldest_c)
    days = None if one is None else ceil(one * values.cycles - 1e-9)
    if coldest_c is None:
        why = f"{values.agent}: no temperature was logged since the last entry"
    elif one is None:
        why = f"{values.agent}: slower than published at {coldest_c:g} °C"
    else:
        times = f"{values.cycles} life cycles" if values.cycles > 1 else "one life cycle"
        why = f"{values.agent}: {times} at {coldest_c:g} °C, the coldest logged"
    verified = values.verified_on is not None
    return Asked(days=days, why=why, source=values.source, is_verified=verified)
