"""Readings out of range, open until a later one of the same water is inside its limit. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final
from uuid import UUID

from tanks.rules.limits import IN_RANGE, NAMES, UNIONISED, WATCH, Finding

OUT: Final = "out"
WITHIN: Final = "within"
# Below or above what the method can tell, so that it may lie on either side of the limit.
UNDECIDED: Final = "undecided"
_ORDER: Final = {name: place for place, name in enumerate(NAMES)}
# What must be read again to tell whether it is inside its limit.
RETESTED_BY: Final = {UNIONISED: ("TAN", "PH")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A reading held against the limits of its moment; ``parameter`` may follow from several.

    ``is_start_up`` when those were the limits of a biofilter start-up, without animals.
    """

    parameter: str
    at: datetime
    reading: UUID
    vessel: UUID
    text: str
    by: str
    finding: Finding
    is_start_up: bool = False

    @property
    def state(self) -> str:
        if self.finding.level == IN_RANGE:
            return WITHIN
        return UNDECIDED if self.finding.level == WATCH else OUT


@dataclass(frozen=True, slots=True, kw_only=True)
class Exceedance:
    """``looks`` are those out of range, oldest first; ``passed`` is the one that ended it.

    ``unsure`` was read after the last of them and cannot tell.
    """

    parameter: str
    looks: tuple[Look, ...]
    passed: Look | None = None
    unsure: Look | None = None

    @property
    def first(self) -> Look:
        return self.looks[0]

    @property
    def last(self) -> Look:
        return self.looks[-1]

    @property
    def worst(self) -> Look:
        """The furthest beyond its limit; below a lower limit the first stands for all."""
        return max(self.looks, key=lambda look: look.finding.times_over)

    @property
    def level(self) -> int:
        return min(look.finding.level for look in self.looks)

    @property
    def readings(self) -> frozenset[UUID]:
        return frozenset(look.reading for look in self.looks)


def exceedances(looks: Iterable[Look], carried: Iterable[Exceedance] = ()) -> list[Exceedance]:
    """Return what was out of range in one water, in the order it began, from looks oldest first.

    ``carried`` are those open before the first look. What cannot be told neither opens nor ends
    one.
    """
    going = {one.parameter: one for one in carried}
    ended: list[Exceedance] = []
    for look in looks:
        open_one = going.get(look.parameter)
        if look.state == OUT:
            before = open_one.looks if open_one else ()
            going[look.parameter] = Exceedance(parameter=look.parameter, looks=(*before, look))
        elif look.state == WITHIN and open_one:
            ended.append(replace(going.pop(look.parameter), passed=look, unsure=None))
        elif open_one:
            going[look.parameter] = replace(open_one, unsure=look)
    return sorted([*ended, *going.values()], key=_when)


def still_open(found: Iterable[Exceedance]) -> list[Exceedance]:
    """The most pressing first."""
    left = (one for one in found if one.passed is None)
    return sorted(left, key=lambda one: (one.level, *_when(one)))


def retested_by(parameters: Iterable[str]) -> list[str]:
    """Return what must be read again, each once, in the usual order."""
    wanted = {each for name in parameters for each in RETESTED_BY.get(name, (name,))}
    return sorted(wanted, key=lambda name: _ORDER[name])


def _when(one: Exceedance) -> tuple[datetime, int]:
    return one.first.at, _ORDER[one.parameter]
