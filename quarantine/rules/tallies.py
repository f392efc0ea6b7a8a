"""Boxes summed up: what was invoiced, what was in them, what is owed. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol


class Counted(Protocol):
    """What a box says of its counts."""

    @property
    def invoiced(self) -> int: ...
    @property
    def alive(self) -> int: ...
    @property
    def dead_on_arrival(self) -> int: ...
    @property
    def weak(self) -> int: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Sums over boxes; ``short`` is what no box held of what its invoice says."""

    boxes: int
    invoiced: int
    alive: int
    dead_on_arrival: int
    weak: int
    short: int
    over: int

    @property
    def dead_percent(self) -> float | None:
        """Dead on arrival as a share of all that came; None when nothing did."""
        came = self.alive + self.dead_on_arrival
        return 100 * self.dead_on_arrival / came if came else None


def tally(boxes: Iterable[Counted]) -> Tally:
    """Sum them; one box over does not make up for another that is short."""
    known = list(boxes)
    gaps = [one.invoiced - one.alive - one.dead_on_arrival for one in known]
    return Tally(
        boxes=len(known),
        invoiced=sum(one.invoiced for one in known),
        alive=sum(one.alive for one in known),
        dead_on_arrival=sum(one.dead_on_arrival for one in known),
        weak=sum(one.weak for one in known),
        short=sum(max(gap, 0) for gap in gaps),
        over=sum(max(-gap, 0) for gap in gaps),
    )
