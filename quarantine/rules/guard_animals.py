"""Stops of the agent's data: maxima, minutes, conditions of the water, and whoever lives in it."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta
from typing import Final

from facility.rules.wording import written
from quarantine.rules.guard_amounts import TOLERANCE
from quarantine.rules.guard_facts import Animals, Asked, Barrier, Condition, Ground, Regime, Stopped

# Older readings do not tell the water of now: common practice, no source.
FRESH: Final = timedelta(hours=24)
_SAID: Final = {
    "TEMPERATURE": ("temperature", "°C"),
    "OXYGEN": ("dissolved oxygen", "mg/L"),
    "ALKALINITY": ("alkalinity", "meq/L"),
    "SALINITY": ("salinity", "g/kg"),
}


def animal_stops(
    asked: Asked, ground: Ground, regime: Regime, after: tuple[float, float]
) -> Iterator[Stopped]:
    for barrier in regime.barriers:
        match barrier.kind:
            case "MAXIMUM":
                yield from _maximum(barrier, asked, ground, regime, after[1])
            case "MINUTES":
                yield from _minutes(barrier, asked)
            case "REPEAT":
                yield from _repeat(barrier, asked, ground)
    yield from forbidden_here(ground.animals, regime)


def forbidden_here(animals: tuple[Animals, ...], regime: Regime) -> Iterator[Stopped]:
    """Yield what the agent must not reach, whatever the dose."""
    for barrier in regime.barriers:
        if barrier.kind in {"GROUPS", "SPECIES"}:
            yield from _forbidden(barrier, animals)
    yield from _spared(animals, regime)


def condition_stops(asked: Asked, ground: Ground, regime: Regime) -> Iterator[Stopped]:
    for barrier in regime.barriers:
        if barrier.kind in _SAID:
            yield from _condition(barrier, asked, ground.conditions.get(barrier.kind))


def _maximum(
    barrier: Barrier, asked: Asked, ground: Ground, regime: Regime, level: float
) -> Iterator[Stopped]:
    most = float(barrier.figures["most"])
    if level <= most * (1 + _rounding(asked)) or not _is_met(barrier, ground):
        return
    if not _is_warm(barrier, ground.conditions.get("TEMPERATURE")):
        return
    yield Stopped(
        code="over-maximum",
        sentence=f"{barrier.sentence}. The level would come to {written(level)} {regime.unit}.",
        source=barrier.source,
    )


def _rounding(asked: Asked) -> float:
    """An absolute limit leaves only what the measuring itself leaves open."""
    return TOLERANCE if asked.intent == "BATH" else 0.01


def _is_met(barrier: Barrier, ground: Ground) -> bool:
    """A limit for some animals holds where they live; that for fish where nobody said who does."""
    names = ("groups", "genera", "names")
    if not any(name in barrier.figures for name in names):
        return True
    if not ground.animals:
        is_of_fish = "FISH" in barrier.figures.get("groups", ())
        return is_of_fish and "not_genera" not in barrier.figures
    return any(_meets(barrier, one) for one in ground.animals)


def _meets(barrier: Barrier, animals: Animals) -> bool:
    figures = barrier.figures
    if animals.genus in figures.get("not_genera", ()):
        return False
    return (
        animals.group in figures.get("groups", ())
        or animals.genus in figures.get("genera", ())
        or animals.species in figures.get("names", ())
    )


def _is_warm(barrier: Barrier, temperature: Condition | None) -> bool:
    """Unread counts as warm: of two limits the lower one is taken."""
    from_c = barrier.figures.get("from_c")
    return from_c is None or temperature is None or temperature.high >= float(from_c)


def _minutes(barrier: Barrier, asked: Asked) -> Iterator[Stopped]:
    most = int(barrier.figures["most"])
    if asked.minutes is None:
        yield Stopped(
            code="minutes-missing",
            sentence="Say how many minutes the bath lasts.",
            source=barrier.source,
            is_final=True,
        )
    elif asked.minutes > most:
        sentence = f"{barrier.sentence}. {asked.minutes} min are asked for."
        yield Stopped(code="too-long", sentence=sentence, source=barrier.source)


def _repeat(barrier: Barrier, asked: Asked, ground: Ground) -> Iterator[Stopped]:
    least = timedelta(hours=float(barrier.figures["least_h"]))
    whole = (one for one in ground.earlier if one.intent in {"START", "BATH"})
    last = max(whole, key=lambda one: one.at, default=None)
    if last is None or asked.intent in {"TOP_UP", "REDOSE"}:
        return
    if asked.at - last.at < least:
        sentence = f"{barrier.sentence}. {last.told}."
        yield Stopped(code="too-soon", sentence=sentence, source=barrier.source)


def _forbidden(barrier: Barrier, animals: tuple[Animals, ...]) -> Iterator[Stopped]:
    met = [one for one in animals if _meets(barrier, one)]
    if met:
        sentence = f"{barrier.sentence}. In this water live {_listed(met)}."
        yield Stopped(code="animals", sentence=sentence, source=barrier.source)


def _spared(animals: tuple[Animals, ...], regime: Regime) -> Iterator[Stopped]:
    for one in animals:
        if why := one.spared.get(regime.code):
            sentence = f"{_listed([one])}: {why}"
            yield Stopped(code="animals", sentence=sentence, source="the species' sheet")


def _condition(barrier: Barrier, asked: Asked, read: Condition | None) -> Iterator[Stopped]:
    name, unit = _SAID[barrier.kind]
    if read is None or asked.at - read.at > FRESH:
        yield Stopped(
            code=f"{barrier.kind.lower()}-unread",
            sentence=f"{barrier.sentence}. Read {name} first: no reading of the last 24 h is here.",
            source=barrier.source,
        )
        return
    low, high = barrier.figures.get("low"), barrier.figures.get("high")
    if (low is not None and read.low < float(low)) or (
        high is not None and read.high > float(high)
    ):
        yield Stopped(
            code=f"{barrier.kind.lower()}-out",
            sentence=f"{barrier.sentence}. It was read as {_span(read)} {unit}.",
            source=barrier.source,
        )


def _span(read: Condition) -> str:
    return written(read.low) if read.low == read.high else f"{written(read.low)} or more"


def _listed(met: Sequence[Animals]) -> str:
    return ", ".join(f"{one.lot} {one.species} in {one.vessel}" for one in _sorted(met))


def _sorted(met: Iterable[Animals]) -> list[Animals]:
    return sorted(met, key=lambda one: (one.vessel, one.lot))
