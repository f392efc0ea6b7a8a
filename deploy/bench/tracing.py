"""``bench trace``: how long a trace takes in a large house with three years of contacts.

10,000 tanks, 25 to a system. A year of a tank holds 52 tests by one of 40 people, each with a
break between shifts; 52 uses of a kit, which is disinfected after three uses in four; 4 moves of
animals; 12 deliveries of feed; 2 turns of its valve. What is measured begins with the edges as
arrays in no order, and ends with everything that is reached and by which edge. Seconds are
those of the processor, so that other work on the machine does not count.
"""

from time import process_time
from typing import Any, Final

import numpy as np

from deploy.bench.options import Options
from quarantine.rules.reach import Arrivals, Flows, Moments, Whole, earliest, latest

TANKS: Final = 10_000
YEARS: Final = 3
TARGET_S: Final = 2.0
_TANKS_A_SYSTEM: Final = 25
_PEOPLE: Final = 40
_KITS: Final = 2_000
_FEED_BATCHES: Final = 600
_DAYS: Final = 365 * YEARS
_CLEANED_SHARE: Final = 0.75


def trace_bench(options: Options) -> dict[str, Any]:
    """Return the seconds of a trace forward from the first day, and backward from the last."""
    flows = contacts(np.random.default_rng(options.seed))
    ahead_s, ahead = _timed(earliest, flows, {0: 0.0})
    back_s, back = _timed(latest, flows, {0: float(_DAYS)})
    month_s, month = _timed(earliest, flows, {0: _DAYS - 30.0})
    return {
        "tanks": TANKS,
        "years": YEARS,
        "edges": len(flows.start),
        "nodes": flows.nodes,
        "forward_s": ahead_s,
        "forward_tanks": _tanks_in(ahead),
        "backward_s": back_s,
        "backward_tanks": _tanks_in(back),
        "last_month_s": month_s,
        "last_month_tanks": _tanks_in(month),
        "target_s": TARGET_S,
    }


def trace_lines(found: dict[str, Any]) -> str:
    return "\n".join(
        (
            f"{found['tanks']} tanks, {found['years']} years, {found['edges']} edges.",
            (
                f"Forward from the first day: {found['forward_tanks']} tanks in "
                f"{found['forward_s']:.2f} s (target {found['target_s']:.0f} s)."
            ),
            (
                f"Backward from the last day: {found['backward_tanks']} tanks in "
                f"{found['backward_s']:.2f} s."
            ),
            (
                f"Forward from 30 days before the end: {found['last_month_tanks']} tanks in "
                f"{found['last_month_s']:.2f} s."
            ),
        )
    )


def contacts(rng: np.random.Generator) -> Flows:
    """Three years of edges; tanks come first among the nodes, then systems, then carriers."""
    parts = [_moves(rng), _valves(rng)]
    nodes = TANKS + TANKS // _TANKS_A_SYSTEM
    for each in (_people(rng), _kits(rng), _feed(rng)):
        carrier, tank, moment, is_two_way = each
        _, carrier = np.unique(carrier, return_inverse=True)
        carrier = carrier + nodes
        nodes = int(carrier.max()) + 1
        parts.append((carrier, tank, moment, moment))
        parts += [(tank, carrier, moment, moment)] if is_two_way else []
    source, target, start, end = (np.concatenate(column) for column in zip(*parts, strict=True))
    mixed = rng.permutation(len(start))
    return Flows(
        nodes=nodes,
        source=source[mixed],
        target=target[mixed],
        start=start[mixed],
        end=end[mixed],
    )


def _moves(rng: np.random.Generator) -> tuple[Whole, Whole, Moments, Moments]:
    count = TANKS * YEARS * 4
    moment = rng.uniform(0, _DAYS, count)
    return rng.integers(0, TANKS, count), rng.integers(0, TANKS, count), moment, moment


def _valves(rng: np.random.Generator) -> tuple[Whole, Whole, Moments, Moments]:
    """Each tank is open to its system between turns; water passes both ways."""
    turns = np.sort(rng.uniform(0, _DAYS, (TANKS, 2 * YEARS)), axis=1)
    tank = np.repeat(np.arange(TANKS), YEARS)
    system = TANKS + tank // _TANKS_A_SYSTEM
    opens, closes = turns[:, 0::2].ravel(), turns[:, 1::2].ravel()
    both = (np.concatenate([tank, system]), np.concatenate([system, tank]))
    return *both, np.tile(opens, 2), np.tile(closes, 2)


def _people(rng: np.random.Generator) -> tuple[Whole, Whole, Moments, bool]:
    """Somebody is another carrier after each break, so on each of their days."""
    count = TANKS * YEARS * 52
    moment = rng.uniform(0, _DAYS, count)
    person = rng.integers(0, _PEOPLE, count)
    return person * _DAYS + moment.astype(np.int64), rng.integers(0, TANKS, count), moment, True


def _kits(rng: np.random.Generator) -> tuple[Whole, Whole, Moments, bool]:
    """A kit is another carrier after each cleaning."""
    count = TANKS * YEARS * 52
    moment = np.sort(rng.uniform(0, _DAYS, count))
    kit = rng.integers(0, _KITS, count)
    cleanings = np.cumsum(rng.random(count) < _CLEANED_SHARE)
    order = np.lexsort((moment, kit))
    carrier = np.empty(count, np.int64)
    carrier[order] = kit[order] * (count + 1) + cleanings
    tank = (kit * (TANKS // _KITS) + rng.integers(0, TANKS // _KITS, count)) % TANKS
    return carrier, tank, moment, True


def _feed(rng: np.random.Generator) -> tuple[Whole, Whole, Moments, bool]:
    count = TANKS * YEARS * 12
    batch = rng.integers(0, _FEED_BATCHES, count)
    return batch, rng.integers(0, TANKS, count), rng.uniform(0, _DAYS, count), False


def _tanks_in(found: Arrivals) -> int:
    return int(np.isfinite(found.at[:TANKS]).sum())


def _timed(walk: Any, flows: Flows, seeds: dict[int, float]) -> tuple[float, Arrivals]:
    began_s = process_time()
    found = walk(flows, seeds)
    return process_time() - began_s, found
