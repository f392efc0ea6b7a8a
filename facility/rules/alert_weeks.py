"""How often people were called, how often for nothing, and which rules to set anew. Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final
from uuid import UUID

# Common practice, no source; that alarms nobody needs make people deaf is measured:
# Bonafide et al. 2015, J Hosp Med 10(6), 87-99 % of monitor alarms called for nothing.
MOST_A_SHIFT: Final = 5
MOST_FOR_NOTHING: Final = 0.30
# Fewer cases than this say nothing about a rule.
FEW: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """A cleared alert: whose it was, the rules that were signs of it, whether action was needed."""

    person: UUID | None
    rules: frozenset[str]
    action_needed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """A person's week: how often called at level 1 or 2, on how many shifts."""

    calls: int
    shifts: int
    cleared: int
    for_nothing: int

    @property
    def per_shift(self) -> float | None:
        return self.calls / self.shifts if self.shifts else None

    @property
    def is_too_often(self) -> bool:
        return self.calls > MOST_A_SHIFT * max(self.shifts, 1)

    @property
    def share_for_nothing(self) -> float | None:
        return self.for_nothing / self.cleared if self.cleared else None


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleRecord:
    """One rule over some weeks."""

    rule: str
    cleared: int
    for_nothing: int

    @property
    def share(self) -> float:
        return self.for_nothing / self.cleared

    @property
    def asks_for_new_figures(self) -> bool:
        return self.cleared >= FEW and self.share > MOST_FOR_NOTHING


def weeks_of(
    calls: Mapping[UUID, int], shifts: Mapping[UUID, int], ended: Iterable[Ended]
) -> dict[UUID, Called]:
    """Count each person's week; ``calls`` and ``shifts`` by person."""
    told = list(ended)
    people = calls.keys() | shifts.keys() | {one.person for one in told if one.person}
    return {
        person: Called(
            calls=calls.get(person, 0),
            shifts=shifts.get(person, 0),
            cleared=sum(one.person == person for one in told),
            for_nothing=sum(one.person == person and not one.action_needed for one in told),
        )
        for person in people
    }


def records_of(ended: Iterable[Ended]) -> list[RuleRecord]:
    """Count by rule, those that most often call for nothing first."""
    told = list(ended)
    rules = {rule for one in told for rule in one.rules}
    found = [_record(rule, [one for one in told if rule in one.rules]) for rule in rules]
    return sorted(found, key=lambda one: (-one.share, -one.cleared, one.rule))


def _record(rule: str, told: list[Ended]) -> RuleRecord:
    nothing = sum(not one.action_needed for one in told)
    return RuleRecord(rule=rule, cleared=len(told), for_nothing=nothing)
