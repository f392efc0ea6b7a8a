"""How long it takes to share a day's work out, and what the search adds to the first placing."""

import random
from collections.abc import Callable
from statistics import median
from time import perf_counter, process_time
from typing import Any, Final

from deploy.bench.options import Options
from facility.rules.assignment import Hand, Piece, Plan, assign, shared_out

PIECES, HANDS, STANDS, RUNS = 600, 12, 40, 5
TARGET_S: Final = 1.0
_SKILLS: Final = ("photometer", "quarantine", "life support")
_OPENS, _CLOSES = 7 * 60, 19 * 60
_SHIFT: Final = 8 * 60
# Windows of a working day: opening, morning, midday, closing, and any time at all.
_WINDOWS: Final = ((7, 10), (8, 12), (11, 15), (16, 19), (7, 19), (7, 19))


def rounds_bench(options: Options) -> dict[str, Any]:
    """Time both on the same invented day."""
    pieces, hands = day(seed=options.seed)
    return {
        "pieces": len(pieces),
        "hands": len(hands),
        "target_s": TARGET_S,
        "first placing": _measured(shared_out, pieces, hands),
        "with search": _measured(assign, pieces, hands),
    }


def rounds_lines(found: dict[str, Any]) -> str:
    """The same as a text."""
    head = f"{found['pieces']} tasks for {found['hands']} people, at most {found['target_s']} s"
    names = ("first placing", "with search")
    return "\n".join([head, *(_line(name, found[name]) for name in names)])


def day(*, seed: int, pieces: int = PIECES, hands: int = HANDS) -> tuple[list[Piece], list[Hand]]:
    """An invented day: areas along a walk, clean to dirty; two shifts; some skills are scarce."""
    chance = random.Random(seed)  # noqa: S311  an invented day, no secret
    return (
        [_piece(number, chance) for number in range(pieces)],
        [_hand(number, chance) for number in range(hands)],
    )


def _measured(share: Callable[..., Plan], pieces: list[Piece], hands: list[Hand]) -> dict[str, Any]:
    times, cpu_times = [], []
    for _ in range(RUNS):
        began, cpu_began = perf_counter(), process_time()
        share(pieces, hands)
        times.append(perf_counter() - began)
        # A machine shared with others makes the clock on the wall run ahead of the work.
        cpu_times.append(process_time() - cpu_began)
    plan = share(pieces, hands)
    loads = [sum(stop.piece.minutes for stop in stops) for stops in plan.rounds.values()]
    stops = [stop for each in plan.rounds.values() for stop in each]
    return {
        "median_s": median(times),
        "slowest_s": max(times),
        "median_cpu_s": median(cpu_times),
        "cost_min": plan.cost_min,
        "walk_min": sum(stop.walk_min for stop in stops),
        "breaks": sum(stop.has_break for stop in stops),
        "least_min": min(loads),
        "most_min": max(loads),
        "left": len(plan.left),
    }


def _line(name: str, one: dict[str, Any]) -> str:
    return (
        f"{name}: {one['median_s']:.2f} s (slowest {one['slowest_s']:.2f}, "
        f"{one['median_cpu_s']:.2f} s of the processor); "
        f"objective {one['cost_min']:.0f} min, walking {one['walk_min']} min, "
        f"{one['breaks']} breaks, {one['least_min']} to {one['most_min']} min of work a person, "
        f"{one['left']} do not fit"
    )


def _piece(number: int, chance: random.Random) -> Piece:
    since, until = _WINDOWS[number % len(_WINDOWS)]
    # Every area has work in every window; some of what is due by noon follows the opening's.
    stand = number // len(_WINDOWS) % STANDS
    has_before = number % len(_WINDOWS) == 1 and chance.random() < 0.5  # noqa: PLR2004  half
    return Piece(
        key=f"{number:04}",
        minutes=chance.choice((2, 3, 5, 5, 8, 10, 15)),
        opens_min=since * 60,
        late_min=until * 60,
        rank=1 + 9 * stand // STANDS,
        stand=stand,
        skill=chance.choice(_SKILLS) if chance.random() < 0.2 else "",  # noqa: PLR2004  a fifth
        after=f"{number - 1:04}" if has_before else "",
    )


def _hand(number: int, chance: random.Random) -> Hand:
    since = _OPENS if number % 2 else _CLOSES - _SHIFT
    skills = frozenset(skill for skill in _SKILLS if chance.random() < 0.5)  # noqa: PLR2004  half
    return Hand(key=f"{number:02}", spans=((since, since + _SHIFT),), skills=skills)
