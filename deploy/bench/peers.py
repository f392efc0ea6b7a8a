"""What a forecast is measured against: the rule of thumb, and the memory of earlier start-ups."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from deploy.bench.scores import LEVELS
from deploy.bench.startups import StartUp
from deploy.bench.startups.arrays import Floats
from deploy.bench.startups.scenarios import HORIZON_H

HORIZON_DAYS: Final = HORIZON_H / 24.0
_SEEDED_DAYS: Final = 14.0
_UNSEEDED_DAYS: Final = 42.0


def true_days(start_up: StartUp) -> float:
    """Return when it was ready; the horizon if it never was."""
    return HORIZON_DAYS if start_up.ready_at_h is None else start_up.ready_at_h / 24.0


def rule_days(start_up: StartUp, *, day: float) -> float:
    """Return the two-weeks, six-weeks rule, but not before now (common practice, no source)."""
    return max(day, _SEEDED_DAYS if start_up.is_seeded else _UNSEEDED_DAYS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Memory:
    """Ready days of earlier start-ups, seeded and not: the strong peer."""

    seeded: Floats
    unseeded: Floats

    def members(self, start_up: StartUp, *, day: float) -> Floats:
        """Return the days of those that were not ready by ``day`` either; one at least."""
        days = self.seeded if start_up.is_seeded else self.unseeded
        later = days[days > day]
        return later if len(later) else np.array([HORIZON_DAYS])

    def quantiles(self, start_up: StartUp, *, day: float) -> Floats:
        return np.asarray(np.quantile(self.members(start_up, day=day), LEVELS))


def memory_of(earlier: Sequence[StartUp]) -> Memory:
    return Memory(
        seeded=np.array([true_days(one) for one in earlier if one.is_seeded]),
        unseeded=np.array([true_days(one) for one in earlier if not one.is_seeded]),
    )
