"""Right entries, also such as look odd: parts, top-ups, redoses, the next bath, a new container."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final, TypeAlias

from deploy.bench.guarding.scene import (
    AT,
    HOUR,
    MO,
    OTHER,
    Entry,
    Scene,
    earlier,
    plain,
    second,
)

Right: TypeAlias = Callable[[Scene], Entry]


def _first(one: Scene) -> Entry:
    return plain(one)


def _rounded(one: Scene) -> Entry:
    """What a spoon balance or a big syringe makes of it."""
    return plain(one, times=one.chance.uniform(0.96, 1.03))


def _part(one: Scene) -> Entry:
    """Brought up in parts: a third or a half of the target today."""
    part = one.meant * one.chance.choice((1 / 3, 0.5))
    entry = plain(replace(one, meant=part))
    return replace(entry, ground=replace(entry.ground, target=one.meant))


def _top_up(one: Scene) -> Entry:
    """Read low, topped up by somebody else within hours."""
    read = replace(one, before=one.meant * one.chance.uniform(0.6, 0.85), intent="TOP_UP")
    entry = plain(read)
    before = earlier(one, hours_ago=one.chance.uniform(4, 11), rise=one.meant, by=MO)
    known = replace(entry.ground, earlier=(before,), informed_at=AT - HOUR)
    return replace(entry, ground=known)


def _below_detection(one: Scene) -> Entry:
    """A test could tell only that there is less than a quarter of the target; there is none."""
    entry = plain(one)
    known = replace(entry.ground, level_low=0.0, level_high=one.meant / 4)
    return replace(entry, ground=known)


def _redose(one: Scene) -> Entry:
    share = one.chance.choice((0.1, 0.2, 0.3, 0.5))
    left = replace(one, before=one.meant * (1 - share), intent="REDOSE")
    entry = plain(left)
    before = earlier(one, hours_ago=one.chance.uniform(4, 60), rise=one.meant, by=MO)
    known = replace(entry.ground, earlier=(before,), informed_at=AT - HOUR)
    return replace(entry, ground=known)


def _next(one: Scene) -> Entry:
    """The next dose at its time; what was in is out by then."""
    entry = plain(one)
    before = earlier(one, hours_ago=one.chance.uniform(96, 120), rise=one.meant)
    known = replace(entry.ground, earlier=(before,))
    return replace(entry, ground=known)


def _new_drum(one: Scene) -> Entry:
    """Another container, tried on a few animals first."""
    entry = plain(one)
    dose = replace(entry.asked, drum=replace(entry.asked.drum, id=OTHER))
    before = earlier(one, hours_ago=120, rise=one.meant)
    known = replace(entry.ground, earlier=(before,), seconds=(second(dose),))
    return replace(entry, asked=dose, ground=known)


_LONG: Final = ("COPPER_FREE", "METHYLENE_BLUE", "SODIUM_CHLORIDE")
_ANY: Final = (*_LONG, "FORMALIN", "HYDROGEN_PEROXIDE", "CHLORAMINE_T", "PRAZIQUANTEL")
RIGHTS: Final[tuple[tuple[Right, tuple[str, ...]], ...]] = (
    (_first, _ANY),
    (_rounded, _ANY),
    (_part, _LONG),
    (_top_up, _LONG),
    (_below_detection, ("COPPER_FREE",)),
    (_redose, _LONG),
    (_next, ("FORMALIN", "HYDROGEN_PEROXIDE", "CHLORAMINE_T", "PRAZIQUANTEL")),
    (_new_drum, _ANY),
)
