"""Looks, deaths and results in a few words, for pages that know nothing of animals."""

from collections.abc import Collection, Iterator
from typing import Final
from uuid import UUID

from facility.sockets.telling import Key
from quarantine.models import SIGNS, Death, Finding, Observation

_DEATH: Final = "quarantine.death"
_LOOK: Final = "quarantine.observation"
_FINDING: Final = "quarantine.finding"


def health_told(keys: Collection[Key]) -> dict[Key, str]:
    """Words for those rows it knows, in three queries."""
    found: dict[Key, str] = {}
    for table, tell in ((_DEATH, _deaths), (_LOOK, _looks), (_FINDING, _findings)):
        ids = [pk for name, pk in keys if name == table]
        found |= {(table, pk): words for pk, words in (tell(ids) if ids else ())}
    return found


def _deaths(ids: Collection[UUID]) -> Iterator[tuple[UUID, str]]:
    rows = Death.objects.filter(pk__in=ids)
    for row in rows.select_related("change__from_lot", "change__from_vessel"):
        change = row.change
        how = "euthanised" if change.kind == "EUTHANISED" else "found dead"
        place = f"{change.from_lot} {how} in {change.from_vessel}"
        yield row.pk, f"{change.count} of {place}, {row.get_cause_display().lower()}"


def _looks(ids: Collection[UUID]) -> Iterator[tuple[UUID, str]]:
    for row in Observation.objects.filter(pk__in=ids).select_related("vessel", "lot"):
        signs = ", ".join(SIGNS[code].lower() for code in row.signs) or "no signs seen"
        who = f"{row.vessel}, {row.lot}" if row.lot else str(row.vessel)
        yield row.pk, f"Look at {who}: {row.get_feeding_display().lower()}, {signs}"


def _findings(ids: Collection[UUID]) -> Iterator[tuple[UUID, str]]:
    for row in Finding.objects.filter(pk__in=ids):
        yield row.pk, f"{row.agent}, {row.method}: {row.get_result_display().lower()}"
