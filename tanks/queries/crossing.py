"""Readings of one water that contradict one another, both kept."""

from datetime import timedelta
from typing import Final

from tanks.models import Reading
from tanks.queries.readings import history
from tanks.queries.waters import Water, spans_of
from tanks.rules.crossing import Said, crossing

_LOOK_BACK: Final = timedelta(days=3)


def crossing_in(water: Water) -> list[tuple[Reading, Reading]]:
    """Return pairs of the last three days, latest first, that nobody has corrected since."""
    since, until = water.at - _LOOK_BACK, water.at + timedelta.resolution
    spans = spans_of(water.anchor, since=since, until=until)
    rows = {row.pk: row for row in history(spans).filter(happened_at__gte=since)}
    pairs = crossing(_said(row) for row in rows.values())
    return [(rows[first], rows[second]) for first, second in pairs]


def _said(row: Reading) -> Said:
    return Said(
        id=row.pk,
        parameter=row.parameter,
        interval=row.interval,
        by=row.by_id,
        at=row.happened_at,
    )
