"""What the site's alarm rules see in each of its waters, in a number of queries that stays put."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, TypeVar
from uuid import UUID

from facility.models import Site
from facility.rules.alerts import Seen
from tanks.models import AlarmRule, Dose, Limit, WaterChange
from tanks.queries.alarm_reports import reports_in
from tanks.queries.cycles import open_cycles_in
from tanks.queries.due_tests import due_tests_in
from tanks.queries.loans import loans_in
from tanks.queries.meanings import bound_of, kind_by, without_animals
from tanks.queries.points import points_in
from tanks.queries.policies import limits_at
from tanks.queries.waters import Water, waters
from tanks.rules.alarms.judging import judged
from tanks.rules.alarms.known import Act, DueTest, Known, Loan, Point, Report, Rule
from tanks.sockets.signs import signs_in

_ACTS_OF: Final = timedelta(days=30)
Told = TypeVar("Told")


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One water with every sign the rules see in it now."""

    water: Water
    seen: tuple[Seen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """What is known of all the site's waters, each part by vessel or anchor."""

    points: Mapping[UUID, Mapping[str, tuple[Point, ...]]]
    kinds: Mapping[UUID, str]
    cycling: frozenset[UUID]
    limits: Sequence[Limit]
    acts: Mapping[UUID, Sequence[Act]]
    loans: Mapping[UUID, Sequence[Loan]]
    tests: Mapping[UUID, Sequence[DueTest]]
    reports: Mapping[UUID, Sequence[Report]]


def watched(site: Site, *, at: datetime, of: UUID | None = None) -> list[Watched]:
    """Judge every water of the site, or only that of one vessel, with what other apps see."""
    rules = rules_at(site, at=at)
    found = [water for water in waters(site, at=at) if of is None or of in water.member_ids]
    ground = _ground(site, found, at)
    others = signs_in(site.pk, {one.anchor.pk: one.member_ids for one in found}, at)
    return [
        Watched(
            water=water,
            seen=(*judged(rules, _known(water, ground)), *others.get(water.anchor.pk, ())),
        )
        for water in found
    ]


def rules_at(site: Site, *, at: datetime) -> list[Rule]:
    """The rules in force, as they are judged by."""
    return [rule_of(row) for row in rules_in_force(site, at=at)]


def rules_in_force(site: Site, *, at: datetime) -> list[AlarmRule]:
    rows = AlarmRule.objects.filter(site=site, period__contains=at)
    return list(rows.order_by("level", "code", "pk"))


def rule_of(row: AlarmRule) -> Rule:
    parts = [row.source, row.edition, row.jurisdiction]
    return Rule(
        code=row.code,
        title=row.title,
        looks_for=row.looks_for,
        parameter=row.parameter,
        water_kind=row.water_kind,
        stage=row.stage,
        level=row.level,
        figures=row.figures,
        advice=row.advice,
        source=", ".join(part for part in parts if part),
    )


def _ground(site: Site, found: Sequence[Water], at: datetime) -> _Ground:
    points = points_in(site, found)
    cycles = without_animals(open_cycles_in(found), at)
    kinds = {water.anchor.pk: _kind(points.get(water.anchor.pk, {})) for water in found}
    return _Ground(
        points=points,
        kinds=kinds | {anchor: cycle.water_kind for anchor, cycle in cycles.items()},
        cycling=frozenset(cycles),
        limits=list(limits_at(site, at=at)),
        acts=_acts(site, at),
        loans=loans_in(site, at=at),
        tests=due_tests_in(site, at=at),
        reports=reports_in((pk for water in found for pk in water.member_ids), at=at),
    )


def _kind(points: Mapping[str, tuple[Point, ...]]) -> str:
    salinity = points.get("SALINITY")
    return kind_by(salinity[-1].interval if salinity else None)


def _known(water: Water, ground: _Ground) -> Known:
    anchor = water.anchor.pk
    kind = ground.kinds[anchor]
    stage = Limit.Stage.CYCLING if anchor in ground.cycling else Limit.Stage.STOCKED
    limits = (one for one in ground.limits if (one.water_kind, one.stage) == (kind, stage))
    return Known(
        at=water.at,
        kind=kind,
        stage=stage.value,
        points=ground.points.get(anchor, {}),
        bounds=tuple(bound_of(limit) for limit in limits),
        acts=_here(water, ground.acts),
        loans=_here(water, ground.loans),
        tests=_here(water, ground.tests),
        reports=_here(water, ground.reports),
    )


def _here(water: Water, by_vessel: Mapping[UUID, Sequence[Told]]) -> tuple[Told, ...]:
    """What belongs to any vessel of the water, each once."""
    found = (one for member in water.members for one in by_vessel.get(member.pk, ()))
    return tuple(dict.fromkeys(found))


def _acts(site: Site, at: datetime) -> dict[UUID, list[Act]]:
    found: dict[UUID, list[Act]] = {}
    for kind, model in (("dose", Dose), ("water-change", WaterChange)):
        rows = model.objects.current().filter(
            vessel__site=site, happened_at__gt=at - _ACTS_OF, happened_at__lte=at
        )
        for vessel, moment in rows.values_list("vessel_id", "happened_at"):
            found.setdefault(vessel, []).append(Act(kind=kind, at=moment))
    return found
