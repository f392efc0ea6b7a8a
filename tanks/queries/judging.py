"""Whether a retest reads inside the limit that was broken; what it asks of the facility."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final
from uuid import UUID

from tanks.models import Reading, Vessel
from tanks.queries.company import Companies
from tanks.queries.looks import STANDS_BESIDE, book_of, looks
from tanks.rules.exceedances import OUT, WITHIN, Look, retested_by

JUDGE: Final = "tanks.inside-limits"
# Read again, or the first reading put right or taken back so that there is nothing to retest.
_DEEDS: Final = ("tanks.log-readings", "tanks.correct-reading", "tanks.withdraw-entry")


def asked(reading: Reading, parameters: Sequence[str]) -> dict[str, Any]:
    """What proves a retest done: the parameters read again, inside the limits that were broken."""
    return {
        "deeds": list(_DEEDS),
        "parameters": retested_by(parameters),
        "judge": JUDGE,
        "judged": {"reading": str(reading.pk), "parameters": list(parameters)},
    }


def passes(judged: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> bool:
    """Tell whether these rows of the ledger, as they stand now, end what the reading began."""
    broken = standing(UUID(judged["reading"]))
    if broken is None:
        return True
    again = [one for row in rows if (one := _reading(row)) and one.pk != broken.pk]
    until = max([broken.happened_at, *(one.happened_at for one in again)])
    seen = looks_around(broken, until=until)
    keys = {one.pk for one in again}
    return all(
        _is_ended(broken, [look for look in seen if look.parameter == parameter], keys)
        for parameter in judged["parameters"]
    )


def looks_around(reading: Reading, *, until: datetime) -> list[Look]:
    """Judge what was read in the water of a reading, from it on to a moment."""
    vessel = Vessel.objects.select_related("site").get(pk=reading.vessel_id)
    company = Companies(site=vessel.site, until=until).of(vessel.pk)
    rows = Reading.objects.current().filter(
        vessel__in=company.everybody,
        happened_at__gte=reading.happened_at - STANDS_BESIDE,
        happened_at__lte=until,
    )
    rows = rows.select_related("by", "method")
    mine = [
        row
        for row in rows.order_by("happened_at", "recorded_at", "sample", "pk")
        if row.vessel_id in company.at(row.happened_at)
    ]
    found = looks(book_of(vessel.site), mine, company.at)
    return [look for look in found if look.at >= reading.happened_at]


def standing(reading_id: UUID) -> Reading | None:
    """Return what now stands in the place of a reading; None once it was withdrawn."""
    row = Reading.objects.filter(pk=reading_id).first()
    while row is not None and (later := Reading.objects.filter(corrects=row).first()):
        row = later
    return None if row is None or row.withdrawn else row


def _is_ended(broken: Reading, seen: Sequence[Look], keys: set[UUID]) -> bool:
    """By one of the readings that follow it, or because it is not out of range after all."""
    at = next((n for n, look in enumerate(seen) if look.reading == broken.pk), None)
    if at is None or seen[at].state != OUT:
        return True
    return any(look.state == WITHIN and look.reading in keys for look in seen[at + 1 :])


def _reading(row: Mapping[str, Any]) -> Reading | None:
    return standing(UUID(row["id"])) if row.get("model") == "tanks.reading" else None
