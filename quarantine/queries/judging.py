"""Leaving and entering judged together: every hindrance at once."""

from dataclasses import dataclass
from datetime import datetime

from quarantine.models import Lot
from quarantine.queries.entering import entering
from quarantine.queries.gate import Gate, gate_of
from quarantine.queries.leaving import leaving
from quarantine.rules import entry, release
from tanks.models import Vessel
from tanks.rules.requirements import Requirement, all_met


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What lets them out, what lets them in; ``gate`` is there for a water's first animals."""

    at: datetime
    out: list[Requirement]
    into: list[Requirement]
    gate: Gate | None
    acclimation: list[str]

    @property
    def requirements(self) -> list[Requirement]:
        return [*self.out, *self.into]

    @property
    def opens(self) -> bool:
        return all_met(self.requirements)

    @property
    def answer(self) -> str:
        return release.answer(self.requirements)


def judged(
    lot: Lot,
    source: Vessel,
    destination: Vessel,
    *,
    count: int,
    feed_g_per_day: float,
    at: datetime,
) -> Judged:
    """Judge the release of some of a lot from one vessel into another's water."""
    known = leaving(lot, source, wanted=count, at=at)
    there = entering(lot, source, destination, feed_g_per_day=feed_g_per_day, at=at)
    gate = gate_of(destination, at=at)
    is_first = not gate.known.stocked
    proof = gate.requirements if is_first else [entry.proof(there)]
    return Judged(
        at=at,
        out=release.requirements(known, at),
        into=[*proof, *entry.requirements(there, at)],
        gate=gate if is_first else None,
        acclimation=entry.acclimation(there),
    )


def judged_out(lot: Lot, source: Vessel, *, count: int, at: datetime) -> list[Requirement]:
    """Judge only whether they may leave, wherever to."""
    return release.requirements(leaving(lot, source, wanted=count, at=at), at)
