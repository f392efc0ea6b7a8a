"""Readings held against the limits, stage and kind of water of their own moment."""

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Final
from uuid import UUID

from facility.models import Site
from tanks.models import Cycle, Limit, Reading
from tanks.queries.meanings import bound_of, kind_by, read_of
from tanks.rules.exceedances import Look
from tanks.rules.limits import IN_RANGE, INSIDE, UNIONISED, WATCH, Bound, Finding, Read, Setting
from tanks.rules.meaning import held_against
from tanks.sockets.stocking import stocked_since

# How long another reading of the same water stands beside one: pH beside TAN, say. Common
# practice, no source: as long as a week's test.
STANDS_BESIDE: Final = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """For what kind of water and stage a reading is judged."""

    kind: str
    stage: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """All limits a site ever had that ask for action, and all its start-ups."""

    limits: tuple[tuple[Limit, Bound], ...]
    cycles: tuple[Cycle, ...]
    stocked: Mapping[UUID, datetime]

    def ground(self, members: Collection[UUID], salinity: Reading | None, at: datetime) -> Ground:
        cycle = next((one for one in self.cycles if self._runs(one, members, at)), None)
        if cycle is not None:
            return Ground(kind=cycle.water_kind, stage=Limit.Stage.CYCLING.value)
        kind = kind_by(salinity.interval if salinity else None)
        return Ground(kind=kind, stage=Limit.Stage.STOCKED.value)

    def bounds(self, ground: Ground, at: datetime) -> list[Bound]:
        return [
            bound
            for limit, bound in self.limits
            if (limit.water_kind, limit.stage) == (ground.kind, ground.stage) and at in limit.period
        ]

    def _runs(self, cycle: Cycle, members: Collection[UUID], at: datetime) -> bool:
        """Once animals are in, their limits hold, whether or not the start-up was closed."""
        ends = (cycle.ended_at, self.stocked.get(cycle.pk))
        is_over = any(end is not None and end <= at for end in ends)
        return cycle.vessel_id in members and cycle.started_at <= at and not is_over


def book_of(site: Site) -> Book:
    limits = Limit.objects.filter(site=site, level__lt=WATCH).order_by("parameter", "level", "pk")
    cycles = tuple(Cycle.objects.filter(vessel__site=site).order_by("started_at", "pk"))
    return Book(
        limits=tuple((limit, bound_of(limit)) for limit in limits),
        cycles=cycles,
        stocked=stocked_since([cycle.pk for cycle in cycles]),
    )


def looks(
    book: Book, readings: Iterable[Reading], members: Callable[[datetime], Collection[UUID]]
) -> Iterator[Look]:
    """Judge the readings of one water, oldest first; each beside what was last read there.

    ``members`` gives the vessels that shared the water at a moment.
    """
    latest: dict[str, Reading] = {}
    for (at, _), group in groupby(readings, key=lambda one: (one.happened_at, one.sample)):
        sample = {one.parameter: one for one in group}
        latest |= sample
        beside = {
            name: one for name, one in latest.items() if at - one.happened_at <= STANDS_BESIDE
        }
        yield from judged(book, sample, beside, members(at))


def judged(
    book: Book,
    sample: Mapping[str, Reading],
    beside: Mapping[str, Reading],
    members: Collection[UUID],
) -> Iterator[Look]:
    """Judge what was read in one sample; ammonia when TAN was."""
    at = next(iter(sample.values())).happened_at
    wanted = {*sample, UNIONISED} if "TAN" in sample else {*sample}
    ground = book.ground(members, beside.get("SALINITY"), at)
    bounds = book.bounds(ground, at)
    asked = [bound for bound in bounds if bound.parameter in wanted]
    reads = {name: read_of(one) for name, one in beside.items()}
    setting = Setting(at=at, fresh_for=STANDS_BESIDE, with_animals=True)
    free = (_free(name) for name in sorted(wanted - {bound.parameter for bound in bounds}))
    for finding in (*held_against(reads, asked, setting), *free):
        yield _look(finding, sample, reads, ground)


def _free(parameter: str) -> Finding:
    """No limit asks for action any more: a start-up is over, say."""
    sentence = f"No limit asks for action about {INSIDE[parameter]} here."
    return Finding(level=IN_RANGE, parameter=parameter, sentence=sentence)


def _look(
    finding: Finding, sample: Mapping[str, Reading], reads: Mapping[str, Read], ground: Ground
) -> Look:
    reading = sample["TAN" if finding.parameter == UNIONISED else finding.parameter]
    text = reads[reading.parameter].text
    if not finding.source:
        text = f"{text}, without a limit by then"
    elif finding.parameter == UNIONISED:
        text = f"TAN {text} at pH {reads['PH'].text} and {reads['TEMPERATURE'].text}"
    return Look(
        parameter=finding.parameter,
        at=reading.happened_at,
        reading=reading.pk,
        vessel=reading.vessel_id,
        text=text,
        by=reading.by.full_name,
        finding=finding,
        is_start_up=ground.stage == Limit.Stage.CYCLING,
    )
