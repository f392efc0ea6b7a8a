"""Which of the usual duties a site does not have yet."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID, uuid5

from facility.models import Area, Duty, Site
from facility.sockets.subjects import Place, places_of
from tanks.models import Cycle, Device, Vessel
from tanks.queries.cycles import Course, courses
from tanks.queries.waters import waters
from tanks.rules.default_duties import (
    AREA,
    CERTIFIED,
    DEFAULTS,
    LONE_TANK,
    MECHANICAL,
    SITE,
    START_UP,
    SYSTEM,
    DefaultDuty,
    defaults_of,
)
from tanks.sockets.default_duties import duty_sources
from tanks.sockets.stocking import stocked_since

_OF_RUNS: Final = frozenset({START_UP, CERTIFIED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A usual duty about one subject; ``turn`` is its place in a rotation."""

    id: UUID
    default: DefaultDuty
    about: str
    place: Place
    turn: int

    @property
    def title(self) -> str:
        return self.default.title.format(place=self.place.name)


def missing_defaults(site: Site, *, at: datetime) -> list[Missing]:
    """The usual duties never set here; one that was ended stays ended."""
    wanted = [*_wanted(site, at), *_added(site, at)]
    ids = [one.id for one in wanted]
    set_before = set(Duty.objects.filter(pk__in=ids).values_list("pk", flat=True))
    return [one for one in wanted if one.id not in set_before]


def duty_ids_of(cycle: Cycle, *kinds: str) -> list[UUID]:
    """The usual duties this start-up may have, set or not."""
    vessel = cycle.vessel
    about = f"tanks.vessel:{vessel.pk}"
    first = [_id(vessel.site_id, one, about, "") for one in defaults_of(kinds)]
    return [*first, *(_id(vessel.site_id, one, about, str(cycle.pk)) for one in defaults_of(kinds))]


def _id(site_id: UUID, default: DefaultDuty, about: str, run: str) -> UUID:
    return uuid5(site_id, f"{default.key} {about} {run}".rstrip())


def _runs(site: Site, known: Iterable[Course]) -> dict[str, str]:
    """By vessel the start-up it is in, where an earlier one has left its duties behind."""
    started = {f"tanks.vessel:{one.cycle.vessel_id}": one.cycle for one in known}
    kinds = defaults_of((START_UP, CERTIFIED))
    plain = {_id(site.pk, one, about, ""): about for about in started for one in kinds}
    ended = Duty.objects.filter(pk__in=plain, ended_at__isnull=False)
    return {
        plain[pk]: str(started[plain[pk]].pk)
        for pk, ended_at in ended.values_list("pk", "ended_at")
        if ended_at and ended_at <= started[plain[pk]].started_at
    }


def _wanted(site: Site, at: datetime) -> Iterator[Missing]:
    known = courses(site, at=at)
    subjects, runs = _subjects(site, at, known), _runs(site, known)
    places = places_of({about for listed in subjects.values() for about in listed})
    for default in DEFAULTS:
        of_runs = runs if default.of in _OF_RUNS else {}
        for turn, about in enumerate(subjects[default.of]):
            yield Missing(
                id=_id(site.pk, default, about, of_runs.get(about, "")),
                default=default,
                about=about,
                place=places[about],
                turn=turn,
            )


def _added(site: Site, at: datetime) -> Iterator[Missing]:
    """What higher apps say a house usually does."""
    for source in duty_sources:
        subjects = list(source.subjects(site.pk, at))
        places = places_of(subjects)
        for turn, about in enumerate(subjects):
            yield Missing(
                id=uuid5(site.pk, f"{source.duty.key} {about}"),
                default=source.duty,
                about=about,
                place=places[about],
                turn=turn,
            )


def _subjects(site: Site, at: datetime, known: Iterable[Course]) -> dict[str, list[str]]:
    """Ledger keys by what they are, in the order of rooms and codes."""
    found: dict[str, list[str]] = defaultdict(list)
    found[SITE] = [f"facility.site:{site.pk}"]
    areas = Area.objects.filter(site=site, vessels__retired_at=None).exclude(vessels=None)
    ordered = areas.distinct().order_by("hygiene_rank", "name")
    found[AREA] = [f"facility.area:{area.pk}" for area in ordered]
    for water in waters(site, at=at):
        kind = SYSTEM if water.anchor.kind == Vessel.Kind.SYSTEM else LONE_TANK
        found[kind].append(f"tanks.vessel:{water.anchor.pk}")
    filters = Device.objects.filter(
        vessel__site=site, kind=Device.Kind.MECHANICAL, installed_at__lte=at
    )
    there = filters.exclude(removed_at__lte=at).order_by("vessel__code", "name", "pk")
    found[MECHANICAL] = [f"tanks.device:{device.pk}" for device in there]
    return found | _starting(list(known))


def _starting(known: Sequence[Course]) -> dict[str, list[str]]:
    """Waters in start-up: those still to prove, and those proven that wait for animals."""
    stocked = stocked_since([one.cycle.pk for one in known])
    waiting = [one for one in known if one.cycle.pk not in stocked]
    keys = {True: list[str](), False: list[str]()}
    for one in waiting:
        keys[one.is_certified].append(f"tanks.vessel:{one.cycle.vessel_id}")
    return {CERTIFIED: keys[True], START_UP: keys[False]}
