"""What suppliers and species lost on arrival and within days of it, with intervals. Pure.

Deaths after shipping fall mainly in the week after arrival (Lim, Dhert & Sorgeloos 2003, Aquac
Res 34, 923, found in its abstract), so losses are counted over days, not only on arrival.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from quarantine.rules.mortality import Interval, interval
from quarantine.rules.survival import Lives

WINDOWS_DAYS: Final = (7, 21)


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Animals that came together, and all lots split from them.

    ``ends`` are those that died, or left alive, so many days after; ``alive`` are here still,
    ``age_days`` after they came. ``arrived`` came alive, ``dead_on_arrival`` besides.
    """

    code: str
    species: str
    supplier: str
    arrived: int
    dead_on_arrival: int
    ends: tuple[Lives, ...]
    alive: int
    age_days: float

    def lives(self) -> tuple[Lives, ...]:
        """Every animal with how long it was seen; in whole days, as tables are read."""
        whole = [Lives(days=float(int(e.days)), count=e.count, died=e.died) for e in self.ends]
        still = Lives(days=float(int(self.age_days)), count=self.alive, died=False)
        return (*whole, *([still] if self.alive else []))


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """``deaths`` of ``of`` animals; None as interval where there were none to lose.

    ``left_out`` left alive before the days were over, so nobody knows.
    """

    deaths: int
    of: int
    left_out: int
    interval: Interval | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Losses:
    """One supplier or species: on arrival, and within each window that is over."""

    name: str
    lots: int
    on_arrival: Loss
    within: tuple[Loss, ...]


def losses_by(families: Iterable[Family], key: Callable[[Family], str]) -> list[Losses]:
    """Return one line for each name, by name."""
    found: dict[str, list[Family]] = {}
    for family in families:
        found.setdefault(key(family), []).append(family)
    return [_losses(name, found[name]) for name in sorted(found)]


def loss_within(families: Iterable[Family], days: int) -> Loss:
    """Deaths within so many days, of animals whose days are over or that died in them.

    Families younger than that are left out whole: their deaths are known, their survivors not.
    """
    old = [family for family in families if family.age_days >= days]
    ends = [end for family in old for end in family.ends]
    deaths = sum(end.count for end in ends if end.died and end.days < days)
    left_out = sum(end.count for end in ends if not end.died and end.days < days)
    followed = sum(end.count for end in ends if end.days >= days)
    alive = sum(family.alive for family in old)
    return _loss(deaths, deaths + followed + alive, left_out)


def _losses(name: str, families: Sequence[Family]) -> Losses:
    dead = sum(family.dead_on_arrival for family in families)
    came = dead + sum(family.arrived for family in families)
    return Losses(
        name=name,
        lots=len(families),
        on_arrival=_loss(dead, came, 0),
        within=tuple(loss_within(families, days) for days in WINDOWS_DAYS),
    )


def _loss(deaths: int, of: int, left_out: int) -> Loss:
    return Loss(
        deaths=deaths,
        of=of,
        left_out=left_out,
        interval=interval(deaths=deaths, of=of) if of else None,
    )
