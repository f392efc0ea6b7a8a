"""Everything that befell the water of a start-up, corrected and withdrawn rows included."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any, TypeAlias
from uuid import UUID

from facility.models import Fact, Site
from tanks.models import (
    Certificate,
    Challenge,
    Cycle,
    Device,
    Dose,
    Feeding,
    Incident,
    Ramp,
    Reading,
    Seeding,
    Switch,
    Verdict,
    Volume,
    WaterChange,
)
from tanks.queries.current import FactT
from tanks.queries.current import is_standing as is_standing
from tanks.queries.current import standing as standing
from tanks.queries.measures import measures_of
from tanks.queries.waters import Water, openings, waters
from tanks.rules.measured import Measured
from tanks.rules.waters import Opening, Span, spans

_Loaded: TypeAlias = dict[str, list[Any]]
# Clocks of devices may run ahead by as much as commands allow.
_AHEAD = timedelta(minutes=5)


@dataclass(frozen=True, kw_only=True, eq=False)
class Story:
    """The facts of one start-up from its start to ``until``, each list in order of time.

    ``spans`` say who shared the water when; a fact belongs here when its vessel was a member
    at its moment. ``volumes`` are those now held true, whenever they were measured.
    """

    cycle: Cycle
    until: datetime
    spans: tuple[Span, ...]
    water: Water
    readings: tuple[Reading, ...]
    doses: tuple[Dose, ...]
    water_changes: tuple[WaterChange, ...]
    feedings: tuple[Feeding, ...]
    seedings: tuple[Seeding, ...]
    incidents: tuple[Incident, ...]
    switches: tuple[Switch, ...]
    ramps: tuple[Ramp, ...]
    challenges: tuple[Challenge, ...]
    verdicts: tuple[Verdict, ...]
    certificates: tuple[Certificate, ...]
    devices: tuple[Device, ...]
    volumes: tuple[Volume, ...]

    @cached_property
    def measures(self) -> tuple[Measured, ...]:
        """Every reading now held true, as the rules see it, oldest first."""
        return tuple(measures_of(self.readings))

    def facts(self) -> Iterator[Fact]:
        """Yield every fact in order of time."""
        rows: list[Fact] = [
            *self.readings,
            *self.doses,
            *self.water_changes,
            *self.feedings,
            *self.seedings,
            *self.incidents,
            *self.switches,
            *self.ramps,
            *self.challenges,
            *self.verdicts,
            *self.certificates,
        ]
        yield from sorted(rows, key=lambda row: (row.happened_at, row.recorded_at, str(row.pk)))

    def litres_at(self, moment: datetime) -> float:
        """Return the net litres of the water as now known for that moment."""
        latest = {row.vessel_id: row for row in self.volumes if row.happened_at <= moment}
        members = self.members_at(moment)
        return sum(float(row.litres) for pk, row in latest.items() if pk in members)

    def members_at(self, moment: datetime) -> frozenset[UUID]:
        begun = [span for span in self.spans if span.since <= moment]
        return (begun or list(self.spans))[-1].members


def story(cycle: Cycle, *, at: datetime) -> Story:
    """Tell one start-up as it is known, up to ``at`` or its end."""
    return stories([cycle], at=at)[cycle.pk]


def stories(cycles: Iterable[Cycle], *, at: datetime) -> dict[UUID, Story]:
    """Tell many; at one site the number of queries does not depend on how many."""
    told: dict[UUID, Story] = {}
    for site, group in _by_site(cycles):
        told |= _of_site(site, group, at)
    return told


def _by_site(cycles: Iterable[Cycle]) -> list[tuple[Site, list[Cycle]]]:
    groups: dict[UUID, tuple[Site, list[Cycle]]] = {}
    for cycle in cycles:
        groups.setdefault(cycle.vessel.site_id, (cycle.vessel.site, []))[1].append(cycle)
    return list(groups.values())


def _of_site(site: Site, cycles: Sequence[Cycle], at: datetime) -> dict[UUID, Story]:
    known = openings(site)
    until = {cycle.pk: _until(cycle, at) for cycle in cycles}
    spanned = {cycle.pk: _spans(cycle, known, until[cycle.pk]) for cycle in cycles}
    loaded = _loaded(cycles, spanned, until)
    by_moment = {moment: waters(site, at=moment) for moment in set(until.values())}
    return {
        cycle.pk: _told(cycle, until[cycle.pk], spanned[cycle.pk], by_moment, loaded)
        for cycle in cycles
    }


def _until(cycle: Cycle, at: datetime) -> datetime:
    ends = [at, cycle.ended_at]
    if cycle.vessel.retired_at is not None:
        ends.append(cycle.vessel.retired_at - timedelta.resolution)
    return max(min(end for end in ends if end is not None), cycle.started_at)


def _spans(cycle: Cycle, known: Iterable[Opening], until: datetime) -> tuple[Span, ...]:
    return tuple(spans(cycle.vessel_id, known, since=cycle.started_at, until=until))


def _loaded(
    cycles: Sequence[Cycle], spanned: dict[UUID, tuple[Span, ...]], until: dict[UUID, datetime]
) -> _Loaded:
    vessels = {vessel for told in spanned.values() for span in told for vessel in span.members}
    since = min(cycle.started_at for cycle in cycles)
    period = {"happened_at__gte": since, "happened_at__lte": max(until.values()) + _AHEAD}
    here = {"vessel__in": vessels, **period}
    about = {"cycle__in": cycles}
    # One query for each kind of fact, whatever the number of start-ups.
    return {
        "readings": _rows(Reading, here, "vessel", "method"),
        "doses": _rows(Dose, here, "vessel", "product"),
        "water_changes": _rows(WaterChange, here, "vessel"),
        "feedings": _rows(Feeding, here, "vessel"),
        "seedings": _rows(Seeding, here, "vessel", "product"),
        "incidents": _rows(Incident, here, "vessel"),
        "switches": _rows(Switch, {"device__vessel__in": vessels, **period}, "device__vessel"),
        "ramps": _rows(Ramp, about),
        "challenges": _rows(Challenge, about, "dose__product", "dose__correction"),
        "verdicts": _rows(Verdict, {"challenge__cycle__in": cycles}, "challenge"),
        "certificates": _rows(Certificate, about),
        "devices": list(
            Device.objects.filter(vessel__in=vessels)
            .select_related("vessel")
            .order_by("name", "pk")
        ),
        "volumes": list(
            Volume.objects.current()
            .filter(vessel__in=vessels)
            .order_by("happened_at", "recorded_at", "pk")
        ),
    }


def _rows(model: type[FactT], where: dict[str, Any], *related: str) -> list[FactT]:
    rows = model._default_manager.filter(**where).select_related("by", "correction", *related)
    return list(rows.order_by("happened_at", "recorded_at", "pk"))


def _told(
    cycle: Cycle,
    until: datetime,
    spanned: tuple[Span, ...],
    by_moment: dict[datetime, list[Water]],
    loaded: _Loaded,
) -> Story:
    def here(kind: str, vessel_of: Callable[[Any], UUID]) -> tuple[Any, ...]:
        return tuple(
            row for row in loaded[kind] if _befell(spanned, until, vessel_of(row), row.happened_at)
        )

    def ours(kind: str, cycle_of: Callable[[Any], UUID]) -> tuple[Any, ...]:
        limit = until + _AHEAD
        rows = (row for row in loaded[kind] if cycle_of(row) == cycle.pk)
        return tuple(row for row in rows if row.happened_at <= limit)

    vessels = {vessel for span in spanned for vessel in span.members}
    return Story(
        cycle=cycle,
        until=until,
        spans=spanned,
        water=next(w for w in by_moment[until] if cycle.vessel_id in w.member_ids),
        readings=here("readings", _vessel),
        doses=here("doses", _vessel),
        water_changes=here("water_changes", _vessel),
        feedings=here("feedings", _vessel),
        seedings=here("seedings", _vessel),
        incidents=here("incidents", _vessel),
        switches=here("switches", lambda row: row.device.vessel_id),
        ramps=ours("ramps", _cycle),
        challenges=ours("challenges", _cycle),
        verdicts=ours("verdicts", lambda row: row.challenge.cycle_id),
        certificates=ours("certificates", _cycle),
        devices=tuple(row for row in loaded["devices"] if row.vessel_id in vessels),
        volumes=tuple(row for row in loaded["volumes"] if row.vessel_id in vessels),
    )


def _befell(
    spanned: tuple[Span, ...], until: datetime, vessel: UUID, happened_at: datetime
) -> bool:
    if happened_at > until + _AHEAD:
        return False
    begun = [span for span in spanned if span.since <= happened_at]
    return bool(begun) and vessel in begun[-1].members


def _vessel(row: Any) -> UUID:
    vessel_id: UUID = row.vessel_id
    return vessel_id


def _cycle(row: Any) -> UUID:
    cycle_id: UUID = row.cycle_id
    return cycle_id
