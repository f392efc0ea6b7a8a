"""How good the forecasts of a site were, once it is known what came."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.models import Site
from facility.sockets.paper import Table
from tanks.models import Cycle, Dose, Verdict
from tanks.queries.cycles import related
from tanks.queries.forecasts import Line, latest_cases, lines_of, outcome_of
from tanks.rules.calibration import DAYS, DayScore, Outcome, Pair, Share, day_score
from tanks.rules.outlooks import chance

_DAY_H: Final = 24.0
_OLDEST_H: Final = 48.0
_NOTHING: Final = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended:
    """A start-up whose end is known."""

    cycle: Cycle
    outcome: Outcome
    lines: tuple[Line, ...]

    @property
    def says(self) -> str:
        if self.outcome.passed_h is not None:
            return f"passed: challenge begun on day {self.outcome.passed_h / _DAY_H:.0f}"
        return f"ended without a pass on day {self.outcome.known_h / _DAY_H:.0f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """``open_count`` start-ups go on without a pass and are not counted yet."""

    site: Site
    ended: tuple[Ended, ...]
    open_count: int
    scores: tuple[DayScore, ...]

    @property
    def passed(self) -> int:
        return sum(one.outcome.passed_h is not None for one in self.ended)

    @property
    def unfinished(self) -> int:
        return len(self.ended) - self.passed

    @property
    def table(self) -> Table:
        """How many stated intervals held, with the exact interval of that share."""
        return Table(
            columns=(
                "Forecasts of",
                "Start-ups",
                "As likely as not: held",
                "Eight in ten: held",
                "Nine in ten: held",
                "Eight in ten: verdict",
            ),
            rows=tuple(_coverage(score) for score in self.scores),
        )

    @property
    def errors(self) -> Table:
        """How far the middle was off; of those that never passed, what chance they were given."""
        return Table(
            columns=("Forecasts of", "Passed", "Off by", "Rule off by", "Ended without a pass"),
            rows=tuple(_errors(score) for score in self.scores),
        )


def calibration(site: Site, *, at: datetime) -> Calibration:
    """Gather and score; the number of queries does not depend on how many start-ups there were."""
    begun = related(Cycle.objects.filter(vessel__site=site, started_at__lte=at))
    cycles = list(begun.order_by("-started_at", "pk"))
    ended = _ended(cycles, at)
    return Calibration(
        site=site,
        ended=ended,
        open_count=len(cycles) - len(ended),
        scores=tuple(day_score(day, pairs) for day in DAYS if (pairs := list(_pairs(day, ended)))),
    )


def _ended(cycles: Sequence[Cycle], at: datetime) -> tuple[Ended, ...]:
    """Return those that passed or ended; the verdicts say what passed when it was read."""
    passes, lines, cases = _first_passes(cycles), _by_cycle(lines_of(cycles)), latest_cases(cycles)
    return tuple(
        Ended(
            cycle=cycle,
            outcome=outcome_of(
                cycle, passed_at=passes.get(cycle.pk), known_at=at, case=cases.get(cycle.pk)
            ),
            lines=tuple(lines.get(cycle.pk, ())),
        )
        for cycle in cycles
        if cycle.pk in passes or cycle.ended_at is not None
    )


def _first_passes(cycles: Iterable[Cycle]) -> dict[UUID, datetime]:
    verdicts = Verdict.objects.current().filter(passed=True, challenge__cycle__in=list(cycles))
    doses = Dose.objects.current()
    begun = verdicts.filter(challenge__dose__in=doses).order_by("-challenge__dose__happened_at")
    return dict(begun.values_list("challenge__cycle_id", "challenge__dose__happened_at"))


def _by_cycle(lines: Iterable[Line]) -> dict[UUID, list[Line]]:
    found: dict[UUID, list[Line]] = {}
    for line in lines:
        found.setdefault(line.cycle_id, []).append(line)
    return found


def _pairs(day: int, ended: Iterable[Ended]) -> Iterator[Pair]:
    """Yield what was said on that day of each start-up that had not passed by then."""
    now_h = day * _DAY_H
    for one in ended:
        end_h = one.outcome.passed_h or one.outcome.known_h
        said = (line for line in one.lines if now_h - _OLDEST_H < line.now_h <= now_h)
        line = next(said, None)
        if end_h > now_h and line is not None:
            yield line.stated, one.outcome


def _coverage(score: DayScore) -> tuple[str, ...]:
    _, most, _ = score.shares
    told = (_share(share) for share in score.shares)
    return (f"day {score.day}", str(score.count), *told, most.says)


def _share(share: Share) -> str:
    open_ended = f", {share.undecided} not decided" if share.undecided else ""
    span = f"{share.low * 100:.0f} to {share.high * 100:.0f}\N{NO-BREAK SPACE}%"
    return f"{share.inside} of {share.count}{open_ended} ({span})"


def _errors(score: DayScore) -> tuple[str, ...]:
    return (
        f"day {score.day}",
        str(score.passed),
        _off(score),
        _days(score.rule_error_d),
        _never(score),
    )


def _off(score: DayScore) -> str:
    if score.bias_d is None:
        return _NOTHING
    way = "later" if score.bias_d > 0 else "earlier"
    return f"{_days(score.error_d)}; passes came {_days(abs(score.bias_d))} {way}"


def _days(days: float | None) -> str:
    return _NOTHING if days is None else f"{days:.1f} days"


def _never(score: DayScore) -> str:
    if score.never_said is None:
        return "none"
    return f"{score.unfinished}, given {chance(score.never_said)} on average"
