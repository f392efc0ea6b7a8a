"""Which benches there are; a new one is a line here."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from deploy.bench.duties import duties_bench, duties_lines
from deploy.bench.forecasts import forecast_bench
from deploy.bench.guards import guard_bench, guard_lines
from deploy.bench.options import Options
from deploy.bench.rounds import rounds_bench, rounds_lines
from deploy.bench.speed import speed_bench
from deploy.bench.speed_lines import speed_lines
from deploy.bench.tables import forecast_tables
from deploy.bench.tracing import trace_bench, trace_lines


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A measurement: ``run`` gives plain numbers for JSON, ``shown`` a text for people."""

    question: str
    run: Callable[[Options], dict[str, Any]]
    shown: Callable[[dict[str, Any]], str]


BENCHES: Final[dict[str, Bench]] = {
    "forecast": Bench(
        question="How good are the forecasts of start-ups, beside a rule and a strong peer?",
        run=forecast_bench,
        shown=forecast_tables,
    ),
    "speed": Bench(
        question="How long do the heavy parts take, and beside what?",
        run=speed_bench,
        shown=speed_lines,
    ),
    "guard": Bench(
        question="How many dangerous doses does the guard stop, and how many right ones?",
        run=guard_bench,
        shown=guard_lines,
    ),
    "rounds": Bench(
        question="How long does it take to share a day's work out, and what does the search add?",
        run=rounds_bench,
        shown=rounds_lines,
    ),
    "duties": Bench(
        question="How long does it take to raise the work of a thousand systems, also twice?",
        run=duties_bench,
        shown=duties_lines,
    ),
    "trace": Bench(
        question="How long does a trace take among 10,000 tanks with three years of contacts?",
        run=trace_bench,
        shown=trace_lines,
    ),
}
