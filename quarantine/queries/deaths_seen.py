"""What the site's rules about deaths and feeding see in each of its waters."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from facility.models import Site
from facility.rules.alerts import Seen
from quarantine.models import CountChange, Lot, Observation, TreatmentDose
from quarantine.queries.baselines import own_baseline
from quarantine.queries.deaths import DeathTold, deaths_in
from quarantine.queries.health_rules import selected
from quarantine.queries.releases import kept_apart
from quarantine.queries.tides import Tide, lots_named, tide
from quarantine.rules.deaths_judged import judged
from quarantine.rules.deaths_known import Act, Baseline, Dead, Known, Look, LotHere, Step
from tanks.models import Dose, WaterChange
from tanks.sockets.signs import Waters

# The longest window of a rule is five weeks; the site's own baseline needs more.
_LOOKS_BACK: Final = timedelta(days=97)
_LOOKS_OF: Final = timedelta(days=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """Everything known of the site's waters, by vessel."""

    tide: Tide
    lots: Mapping[UUID, Lot]
    apart: frozenset[UUID]
    deaths: Mapping[UUID, list[DeathTold]]
    looks: Mapping[UUID, list[Observation]]
    acts: Mapping[UUID, list[Act]]
    usual: Baseline | None


def death_signs(site_id: UUID, waters: Waters, at: datetime) -> dict[UUID, list[Seen]]:
    """Judge the waters that hold or held animals; without rules nothing is seen."""
    site = Site.objects.get(pk=site_id)
    rules = selected(site, at=at)
    members = {anchor: frozenset(ids) for anchor, ids in waters.items()}
    if not rules or not members:
        return {}
    ground = _ground(frozenset().union(*members.values()), site, at)
    return {
        anchor: judged(rules, known)
        for anchor, ids in members.items()
        if (known := _known(ids, ground, at)).lots
    }


def _ground(vessel_ids: Collection[UUID], site: Site, at: datetime) -> _Ground:
    since = at - _LOOKS_BACK
    flow = tide(vessel_ids, since=since, until=at)
    lots = lots_named(set(flow.steps(vessel_ids)))
    deaths: dict[UUID, list[DeathTold]] = defaultdict(list)
    for death in deaths_in(vessel_ids, since=since, until=at):
        deaths[death.vessel_id].append(death)
    return _Ground(
        tide=flow,
        lots=lots,
        apart=kept_apart(lots.values(), vessel_ids, at=at),
        deaths=deaths,
        looks=_looks(vessel_ids, at),
        acts=_acts(vessel_ids, at),
        usual=own_baseline(site, at=at),
    )


def _known(ids: frozenset[UUID], ground: _Ground, at: datetime) -> Known:
    steps = ground.tide.steps(ids)
    acts = sorted((act for pk in ids for act in ground.acts.get(pk, ())), key=lambda act: act.at)
    return Known(
        at=at,
        is_quarantine=not ground.apart.isdisjoint(ids),
        lots=tuple(
            _lot(ground.lots[lot], told, ids, ground)
            for lot, told in sorted(steps.items(), key=lambda one: ground.lots[one[0]].code)
        ),
        acts=tuple(acts),
        usual=ground.usual,
    )


def _lot(lot: Lot, steps: tuple[Step, ...], ids: frozenset[UUID], ground: _Ground) -> LotHere:
    deaths = (one for pk in ids for one in ground.deaths.get(pk, ()) if one.lot_id == lot.pk)
    looks = (one for pk in ids for one in ground.looks.get(pk, ()))
    held = {vessel for (key, vessel), count in ground.tide.now().items() if key == lot.pk and count}
    mine = (one for one in looks if _tells_of(one, lot, held))
    return LotHere(
        code=lot.code,
        species=lot.species.vernacular_name or lot.species.scientific_name,
        steps=steps,
        deaths=tuple(sorted(map(_dead, deaths), key=lambda one: one.at)),
        looks=tuple(sorted(map(_look, mine), key=lambda one: one.at)),
    )


def _tells_of(look: Observation, lot: Lot, held: set[UUID]) -> bool:
    """A look at a whole tank tells of every lot that is in it now."""
    return look.lot_id == lot.pk or (look.lot_id is None and look.vessel_id in held)


def _dead(death: DeathTold) -> Dead:
    return Dead(
        key=f"quarantine.death:{death.id}",
        at=death.at,
        vessel=death.vessel_code,
        count=death.count,
        is_explained=death.is_explained,
    )


def _look(look: Observation) -> Look:
    return Look(
        key=f"quarantine.observation:{look.pk}",
        at=look.happened_at,
        vessel=look.vessel.code,
        feeding=look.feeding,
    )


def _looks(vessel_ids: Collection[UUID], at: datetime) -> dict[UUID, list[Observation]]:
    rows = Observation.objects.current().filter(
        vessel__in=vessel_ids, happened_at__gt=at - _LOOKS_OF, happened_at__lte=at
    )
    found: dict[UUID, list[Observation]] = defaultdict(list)
    for row in rows.select_related("vessel").order_by("happened_at", "recorded_at"):
        found[row.vessel_id].append(row)
    return found


def _acts(vessel_ids: Collection[UUID], at: datetime) -> dict[UUID, list[Act]]:
    """What may have harmed: doses, water changes, animals that came."""
    window = {"happened_at__gt": at - _LOOKS_OF, "happened_at__lte": at}
    here = {"vessel__in": vessel_ids}
    found: dict[UUID, list[Act]] = defaultdict(list)
    told: Iterable[tuple[UUID, datetime, str]] = [
        *_told(Dose.objects.current().filter(**here, **window), "a dose"),
        *_told(WaterChange.objects.current().filter(**here, **window), "a water change"),
        *(
            (row.course.vessel_id, row.happened_at, f"a dose of {row.course.agent.name}")
            for row in TreatmentDose.objects.current()
            .filter(course__vessel__in=vessel_ids, **window)
            .select_related("course__agent")
        ),
        *(
            (row.to_vessel_id, row.happened_at, "animals arrived")
            for row in CountChange.objects.current().filter(
                kind="ARRIVED", to_vessel__in=vessel_ids, **window
            )
        ),
    ]
    for vessel, moment, what in told:
        found[vessel].append(Act(at=moment, what=what))
    return found


def _told(rows: Iterable[Dose | WaterChange], what: str) -> list[tuple[UUID, datetime, str]]:
    return [(row.vessel_id, row.happened_at, what) for row in rows]
