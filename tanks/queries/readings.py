"""What a water last read, and all it ever read."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import Final, TypeAlias
from uuid import UUID

from django.db.models import QuerySet, prefetch_related_objects

from facility.models import Person, Site
from tanks.models import Reading, Vessel
from tanks.queries.waters import Water, openings, within
from tanks.rules.waters import Opening, Span, spans, together

# Before anything anybody brings in.
_DAWN: Final = datetime(1990, 1, 1, tzinfo=UTC)

# One look into the index for each pair of stay and parameter; DISTINCT ON would read the table.
_LATEST: Final = """
SELECT latest.*, stay.water
FROM unnest(%s::uuid[], %s::uuid[], %s::timestamptz[], %s::timestamptz[])
     AS stay(water, vessel, since, until)
CROSS JOIN unnest(%s::text[]) AS wanted(parameter)
CROSS JOIN LATERAL (
    SELECT reading.* FROM tanks_reading reading
    WHERE reading.vessel_id = stay.vessel AND reading.parameter = wanted.parameter
      AND reading.happened_at >= stay.since AND reading.happened_at < stay.until
      AND NOT reading.withdrawn
      AND NOT EXISTS (SELECT FROM tanks_reading later WHERE later.corrects_id = reading.id)
    ORDER BY reading.happened_at DESC, reading.recorded_at DESC, reading.id
    LIMIT 1
) latest
ORDER BY latest.happened_at, latest.recorded_at, latest.id DESC
"""


def latest_in(water: Water) -> dict[str, Reading]:
    """The latest reading of each parameter, wherever in the water it was taken."""
    return latest_in_waters([water]).get(water.anchor.pk, {})


def latest_in_waters(waters: Iterable[Water]) -> dict[UUID, dict[str, Reading]]:
    """The same for many waters, by anchor; the number of queries does not grow with them."""
    waters = list(waters)
    until = {water.anchor.pk: water.at + timedelta.resolution for water in waters}
    return _latest(waters, until)


def latest_before_in_waters(
    waters: Iterable[Water], moments: Mapping[UUID, datetime]
) -> dict[UUID, dict[str, Reading]]:
    """What each water had last read before its moment; waters without a moment are left out."""
    return _latest([water for water in waters if water.anchor.pk in moments], moments)


def latest_before(vessel: Vessel, *, at: datetime) -> dict[str, Reading]:
    """What the water of ``vessel`` had last read before ``at``."""
    stays = _stays_of(vessel.pk, openings(vessel.site), until=at)
    return {reading.parameter: reading for reading in _read(stays)}


def history(water_spans: Iterable[Span]) -> QuerySet[Reading]:
    """Every reading now held true, oldest first."""
    rows = Reading.objects.current().filter(within(water_spans))
    return rows.select_related("by", "method", "vessel").order_by(
        "happened_at", "recorded_at", "pk"
    )


def readings_seen_by(
    person: Person,
    *,
    vessel: Vessel | None = None,
    parameter: str | None = None,
    since: datetime | None = None,
    until: datetime | None = None,
) -> QuerySet[Reading]:
    """Every row, corrected and withdrawn ones too, latest sample first; ``until`` is left out."""
    asked = {
        "vessel": vessel,
        "parameter": parameter,
        "happened_at__gte": since,
        "happened_at__lt": until,
    }
    wanted = {name: value for name, value in asked.items() if value is not None}
    rows = Reading.objects.filter(vessel__in=Vessel.objects.open_to(person), **wanted)
    rows = rows.select_related("by", "method", "vessel", "correction")
    return rows.order_by("-happened_at", "-recorded_at", "pk")


def _latest(
    waters: Iterable[Water], until: Mapping[UUID, datetime]
) -> dict[UUID, dict[str, Reading]]:
    stays = [stay for group in _by_site(waters) for stay in stays_in(*group, until)]
    found: dict[UUID, dict[str, Reading]] = {}
    for reading in _read(stays):
        found.setdefault(_water(reading), {})[reading.parameter] = reading
    return found


Stay: TypeAlias = tuple[UUID, UUID, datetime, datetime]


def _by_site(waters: Iterable[Water]) -> list[tuple[Site, list[Water]]]:
    groups: dict[UUID, tuple[Site, list[Water]]] = {}
    for water in waters:
        groups.setdefault(water.anchor.site_id, (water.anchor.site, []))[1].append(water)
    return list(groups.values())


def stays_in(site: Site, waters: list[Water], until: Mapping[UUID, datetime]) -> Iterator[Stay]:
    """Yield when each vessel was in the water of each anchor, before that water's ``until``."""
    bearing = together(openings(site))
    for water in waters:
        anchor = water.anchor.pk
        yield from _stays_of(anchor, bearing.get(anchor, ()), until=until[anchor])


def _stays_of(anchor: UUID, known: Iterable[Opening], *, until: datetime) -> Iterator[Stay]:
    begun: dict[UUID, datetime] = {}
    for span in spans(anchor, known, since=_DAWN, until=until):
        for vessel in begun.keys() - span.members:
            yield anchor, vessel, begun.pop(vessel), span.since
        begun |= dict.fromkeys(span.members - begun.keys(), span.since)
    for vessel, since in begun.items():
        yield anchor, vessel, since, until


def _read(stays: Iterable[Stay]) -> list[Reading]:
    columns = [list(column) for column in zip(*stays, strict=True)] or [[], [], [], []]
    rows = list(Reading.objects.raw(_LATEST, [*columns, Reading.Parameter.values]))
    prefetch_related_objects(rows, "by", "method", "vessel")
    return rows


def _water(reading: Reading) -> UUID:
    """Return the column that the query adds to the reading's own."""
    anchor: UUID = reading.__dict__["water"]
    return anchor
