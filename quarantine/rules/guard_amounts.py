"""Slips of amount: tenfold, units, salts, percentages, a dose given twice or in full again."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from facility.rules.wording import written
from quarantine.rules.guard_facts import Asked, Earlier, Ground, Regime, Stopped

# Common practice, no source: beyond half or twice, somebody looks again.
BAND: Final = 2.0
# What scales, syringes and tests leave open; no source.
TOLERANCE: Final = 0.05
CLOSE_BY: Final = timedelta(hours=12)
# What stays in may be brought up in parts, but hardly in more than five; a bath is given at once.
_LEAST_PART: Final = 0.2
_LIKE: Final = 0.5


def level_after(asked: Asked, ground: Ground, *, litres: float) -> tuple[float, float]:
    """Return from what to what the level then lies."""
    rise = asked.amount * asked.drum.strength / litres
    return ground.level_low + rise, ground.level_high + rise


def likely(after: tuple[float, float]) -> float:
    """Return the middle: what lies below detection is neither nothing nor all of it."""
    return (after[0] + after[1]) / 2


def computed(*, rise: float, litres: float, strength: float) -> float:
    """Return the g or mL that give the rise."""
    return rise * litres / strength


def amount_stops(
    asked: Asked, ground: Ground, regime: Regime, after: tuple[float, float]
) -> Iterator[Stopped]:
    yield from _far(asked, ground)
    yield from _last(asked, ground)
    yield from _twice(asked, ground)
    level = likely(after)
    if regime.high is not None and level > regime.high * (1 + TOLERANCE):
        yield Stopped(
            code="over-window",
            sentence=f"The level would come to {written(level)} {regime.unit}; "
            f"the window ends at {written(regime.high)} {regime.unit}.",
        )
    yield from _off_target(asked, ground, regime, level)


def _off_target(asked: Asked, ground: Ground, regime: Regime, level: float) -> Iterator[Stopped]:
    least = 1 / BAND if asked.intent == "BATH" else _LEAST_PART
    if not least * ground.target <= level < BAND * ground.target:
        yield Stopped(
            code="far-from-target",
            sentence=f"The level would come to {written(level)} {regime.unit}; the target of "
            f"this course is {written(ground.target)} {regime.unit}: look at the decimal point and "
            "the unit.",
        )


def _far(asked: Asked, ground: Ground) -> Iterator[Stopped]:
    due = computed(rise=asked.rise, litres=ground.litres or 0.0, strength=asked.drum.strength)
    if not due / BAND < asked.amount < due * BAND:
        yield Stopped(
            code="far-from-computed",
            sentence=f"{written(asked.amount)} {asked.drum.unit} is {asked.amount / due:.2g} times "
            f"the computed {written(due)} {asked.drum.unit}.",
        )


def _last(asked: Asked, ground: Ground) -> Iterator[Stopped]:
    """Against the last dose for the same purpose; parts and top-ups may be smaller, not larger."""
    alike = [one for one in ground.earlier if one.intent == asked.intent]
    last = max(alike, key=lambda one: one.at, default=None)
    if last is None or asked.intent == "REDOSE":
        return
    given = asked.amount * asked.drum.strength / (ground.litres or 1.0)
    is_small = asked.intent == "BATH" and given < last.rise / BAND
    if given > last.rise * BAND or is_small:
        yield Stopped(
            code="far-from-last",
            sentence=f"This is {given / last.rise:.2g} times the last such dose: {last.told}.",
        )


def _twice(asked: Asked, ground: Ground) -> Iterator[Stopped]:
    given = asked.amount * asked.drum.strength / (ground.litres or 1.0)
    for one in ground.earlier:
        if _is_same(one, asked, ground, given):
            yield Stopped(
                code="dosed-already",
                sentence=f"{one.told}: the same again within 12 hours, with nothing read since.",
            )


def _is_same(one: Earlier, asked: Asked, ground: Ground, given: float) -> bool:
    is_close = abs(asked.at - one.at) < CLOSE_BY
    is_informed = ground.informed_at is not None and ground.informed_at > one.at
    is_others = one.by != asked.by or given >= one.rise * (1 - TOLERANCE)
    return is_close and not is_informed and is_others and given >= one.rise * _LIKE
