"""What is out of range at a site, what was done about it, and what was within a time."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from facility.models import Site, Task
from facility.queries.work import TaskNow, stand
from tanks.models import CorrectiveAction, Reading, Vessel
from tanks.queries.company import Companies
from tanks.queries.looks import Book, book_of, judged, looks
from tanks.queries.readings import latest_before_in_waters, latest_in_waters
from tanks.queries.waters import Water, waters
from tanks.rules.exceedances import WITHIN, Exceedance, exceedances, still_open


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """An exceedance with what was done about it, oldest first; ``anchor`` names the water."""

    anchor: Vessel
    exceedance: Exceedance
    actions: tuple[CorrectiveAction, ...]

    @property
    def action_keys(self) -> list[str]:
        return [raised_by(action) for action in self.actions]


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """What is out of range now, with the retests that were asked for."""

    told: Told
    retests: tuple[TaskNow, ...]

    @property
    def next_retest(self) -> TaskNow | None:
        return next((one for one in self.retests if one.answer is None), None)


def raised_by(action: CorrectiveAction) -> str:
    """What a retest names as its cause."""
    return f"tanks.correctiveaction:{action.pk}"


def open_at_site(site: Site, *, at: datetime) -> list[Open]:
    """Everything out of range at the site, water by water, the most pressing first in each."""
    return open_in_waters(waters(site, at=at))


def open_in_waters(found: Sequence[Water]) -> list[Open]:
    """The same for some waters of one site at one moment."""
    if not found:
        return []
    at = found[0].at
    told = _told(_open(found), until=at)
    keys = [key for one in told for key in one.action_keys]
    by_cause: dict[str, list[TaskNow]] = defaultdict(list)
    for task in stand(Task.objects.filter(raised_by__in=keys), at=at) if keys else ():
        by_cause[task.task.raised_by].append(task)
    return [
        Open(told=one, retests=tuple(task for key in one.action_keys for task in by_cause[key]))
        for one in told
    ]


def in_period(
    companies: Companies, by_water: Mapping[Vessel, list[Reading]], *, begin: datetime
) -> list[Told]:
    """Every exceedance that was open at some moment from ``begin`` to before their end.

    As it stood at the end: what came later is not told. ``by_water`` holds what was read from
    ``STANDS_BESIDE`` before the beginning on.
    """
    site, last = companies.site, companies.until - timedelta.resolution
    before = begin - timedelta.resolution
    carried = dict(_open(waters(site, at=before)))
    book = book_of(site)
    found: list[tuple[Vessel, list[Exceedance]]] = []
    for anchor in {*carried, *by_water}:
        seen = looks(book, by_water.get(anchor, ()), companies.of(anchor.pk).at)
        since = (look for look in seen if look.at >= begin)
        found.append((anchor, exceedances(since, carried.get(anchor, ()))))
    found.sort(key=lambda one: (one[0].area.hygiene_rank, one[0].code))
    return _told(found, until=last)


def readings_by_water(companies: Companies, *, since: datetime) -> dict[Vessel, list[Reading]]:
    """Readings now held true, by the anchor of the water they were taken in, oldest first."""
    rows = Reading.objects.current().filter(
        vessel__site=companies.site, happened_at__gte=since, happened_at__lt=companies.until
    )
    found: dict[Vessel, list[Reading]] = defaultdict(list)
    for row in _in_order(rows):
        found[companies.anchor(row.vessel_id, row.happened_at)].append(row)
    return dict(found)


def _open(found: Sequence[Water]) -> list[tuple[Vessel, list[Exceedance]]]:
    """What is open in each water that has any, from the whole of its past."""
    if not found:
        return []
    site, at = found[0].anchor.site, found[0].at
    book, companies = book_of(site), Companies(site=site, until=at)
    doubtful = _doubtful(book, found)
    past = _past(companies, [water.anchor for water in doubtful], at)
    told = []
    for water in doubtful:
        pk = water.anchor.pk
        left = still_open(exceedances(looks(book, past[pk], companies.of(pk).at)))
        if left:
            told.append((water.anchor, left))
    return told


def _doubtful(book: Book, found: Sequence[Water]) -> list[Water]:
    """Waters whose latest readings are not all inside their limits: only there can one be open."""
    latest = latest_in_waters(found)
    tan_at = {
        pk: read["TAN"].happened_at + timedelta.resolution
        for pk, read in latest.items()
        if "TAN" in read
    }
    beside_tan = latest_before_in_waters(found, tan_at)
    return [
        water
        for water in found
        if _has_doubt(
            book,
            latest.get(water.anchor.pk, {}),
            beside_tan.get(water.anchor.pk, {}),
            water.member_ids,
        )
    ]


def _has_doubt(
    book: Book,
    latest: Mapping[str, Reading],
    beside_tan: Mapping[str, Reading],
    members: Collection[UUID],
) -> bool:
    samples: dict[tuple[datetime, UUID], dict[str, Reading]] = defaultdict(dict)
    for name, reading in latest.items():
        samples[reading.happened_at, reading.sample][name] = reading
    return any(
        look.state != WITHIN
        for sample in samples.values()
        for look in judged(book, sample, beside_tan if "TAN" in sample else latest, members)
    )


def _past(
    companies: Companies, anchors: Sequence[Vessel], at: datetime
) -> dict[UUID, list[Reading]]:
    """All readings of each water up to a moment, in one query."""
    everybody = {pk for anchor in anchors for pk in companies.of(anchor.pk).everybody}
    by_vessel: dict[UUID, list[Reading]] = defaultdict(list)
    rows = Reading.objects.current().filter(vessel__in=everybody, happened_at__lte=at)
    for row in _in_order(rows):
        by_vessel[row.vessel_id].append(row)
    return {anchor.pk: _of_water(companies, anchor.pk, by_vessel) for anchor in anchors}


def _of_water(
    companies: Companies, anchor: UUID, by_vessel: Mapping[UUID, Iterable[Reading]]
) -> list[Reading]:
    company = companies.of(anchor)
    mine = [
        row
        for pk in company.everybody
        for row in by_vessel.get(pk, ())
        if pk in company.at(row.happened_at)
    ]
    return sorted(mine, key=lambda row: (row.happened_at, row.recorded_at, row.sample, row.pk))


def _in_order(rows: QuerySet[Reading]) -> QuerySet[Reading]:
    """Oldest first; what was read in one minute, as it was entered."""
    return rows.select_related("by", "method").order_by(
        "happened_at", "recorded_at", "sample", "pk"
    )


def _told(found: Iterable[tuple[Vessel, Iterable[Exceedance]]], *, until: datetime) -> list[Told]:
    pairs = [(anchor, one) for anchor, several in found for one in several]
    earlier = _earlier_of({pk for _, one in pairs for pk in one.readings})
    rows = CorrectiveAction.objects.current().filter(
        reading__in=earlier.keys(), happened_at__lte=until
    )
    actions: dict[UUID, list[CorrectiveAction]] = defaultdict(list)
    for row in rows.select_related("by", "reading").order_by("happened_at", "recorded_at", "pk"):
        actions[earlier[row.reading_id]].append(row)
    return [
        Told(
            anchor=anchor,
            exceedance=one,
            actions=tuple(act for look in one.looks for act in actions[look.reading]),
        )
        for anchor, one in pairs
    ]


def _earlier_of(readings: Collection[UUID]) -> dict[UUID, UUID]:
    """Each reading, and every one it took the place of, with the reading that stands now."""
    found, asked = dict(zip(readings, readings, strict=True)), set(readings)
    while asked:
        pairs = Reading.objects.filter(pk__in=asked, corrects__isnull=False)
        step = dict(pairs.values_list("corrects_id", "pk"))
        found |= {first: found[later] for first, later in step.items()}
        asked = set(step)
    return found
