"""How good forecasts were: what each said on a fixed day since the start, beside what came.

A start-up that ended without a pass is never left out, and a proof that came late is no proof
of a late filter: an interval is missed on its far side only where the record shows that the
water was not ready yet. Where it shows neither, nobody will know, and the share is told between
counting it as missed and as held. Fixed days, because a share of the true length would give
the answer away.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Final, Literal, TypeAlias

from tanks.rules.binomial import share_interval

Held: TypeAlias = Literal["inside", "early", "late", "undecided"]

DAYS: Final = (3, 5, 7, 10, 14, 21, 28, 35)
LEVELS: Final = {50: ("p25", "p75"), 80: ("p10", "p90"), 90: ("p05", "p95")}
FEWEST: Final = 10
_RULE_D: Final = {True: 14.0, False: 42.0}
_HOURS_PER_DAY: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of one start-up.

    ``passed_h`` is when the challenge began that first passed, ``not_ready_h`` when one would
    have failed at the latest, and ``known_h`` how far the record goes.
    """

    passed_h: float | None
    not_ready_h: float
    known_h: float
    is_seeded: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What one forecast said; a quantile of None lies past ``horizon_h``."""

    ready_at_h: Mapping[str, float | None]
    never: float
    horizon_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """How many intervals of ``level`` per cent held; the exact interval of that share."""

    level: int
    inside: int
    undecided: int
    count: int
    low: float
    high: float

    @property
    def says(self) -> str:
        if self.count < FEWEST:
            return "too few to tell"
        nominal = self.level / 100
        if self.high < nominal:
            return "too narrow"
        return "too wide" if self.low > nominal else "nothing against it"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayScore:
    """All forecasts of one day. Errors are means over the start-ups that passed, in days.

    ``bias_d`` is positive where passes came later than the middle. Of those that ended without
    a pass, ``never_said`` is the mean chance the forecasts gave to that.
    """

    day: int
    count: int
    shares: tuple[Share, ...]
    passed: int
    error_d: float | None
    rule_error_d: float | None
    bias_d: float | None
    unfinished: int
    never_said: float | None


Pair: TypeAlias = tuple[Stated, Outcome]


def held(stated: Stated, outcome: Outcome, *, level: int) -> Held:
    """Tell how the stated interval did: the pass came ``early``, ``late`` or ``inside`` it."""
    low_h, high_h = (_end(stated, name) for name in LEVELS[level])
    if high_h < outcome.not_ready_h:
        return "late"
    if outcome.passed_h is None or outcome.passed_h > high_h:
        return "undecided"
    return "early" if outcome.passed_h < low_h else "inside"


def day_score(day: int, pairs: Sequence[Pair]) -> DayScore:
    """Score what was said on one day."""
    finished = [
        (stated, outcome.passed_h, outcome) for stated, outcome in pairs if outcome.passed_h
    ]
    late_d = [_days(passed_h - _middle_h(stated)) for stated, passed_h, _ in finished]
    by_rule_d = [_days(passed_h) - _rule_d(outcome, day) for _, passed_h, outcome in finished]
    never = [stated.never for stated, outcome in pairs if outcome.passed_h is None]
    return DayScore(
        day=day,
        count=len(pairs),
        shares=tuple(_share(level, pairs) for level in LEVELS),
        passed=len(finished),
        error_d=_mean(abs(late) for late in late_d),
        rule_error_d=_mean(abs(late) for late in by_rule_d),
        bias_d=_mean(late_d),
        unfinished=len(never),
        never_said=_mean(never),
    )


def _share(level: int, pairs: Sequence[Pair]) -> Share:
    found = [held(stated, outcome, level=level) for stated, outcome in pairs]
    inside, undecided = found.count("inside"), found.count("undecided")
    low, high = share_interval(hits=inside, of=len(found), at_most_hits=inside + undecided)
    return Share(
        level=level, inside=inside, undecided=undecided, count=len(found), low=low, high=high
    )


def _end(stated: Stated, name: str) -> float:
    at_h = stated.ready_at_h[name]
    return float("inf") if at_h is None else at_h


def _middle_h(stated: Stated) -> float:
    """Return the stated middle; one past the horizon counts as the horizon."""
    return min(_end(stated, "p50"), stated.horizon_h)


def _rule_d(outcome: Outcome, day: int) -> float:
    """Return the plain rule's day, 14 seeded and 42 unseeded, but never before today."""
    return max(_RULE_D[outcome.is_seeded], float(day))


def _days(hours: float) -> float:
    return hours / _HOURS_PER_DAY


def _mean(values: Iterable[float]) -> float | None:
    known = list(values)
    return fmean(known) if known else None
