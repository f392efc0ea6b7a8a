"""Which animals a water holds, said on the pages of its tanks."""

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Final
from uuid import UUID

from django.urls import reverse

from quarantine.queries.books import Held, lots_in
from tanks.sockets.remarks import Remark

_MOST: Final = 6


def lot_remarks(vessel_ids: Collection[UUID], at: datetime) -> Iterator[Remark]:
    """One line for the whole water: the largest lots, and how many more there are."""
    found = sorted(lots_in(vessel_ids, at=at), key=lambda one: -one.count)
    if not found:
        return
    told = [_told(one) for one in found[:_MOST]]
    more = len(found) - _MOST
    rest = f"; and {more} more" if more > 0 else ""
    yield Remark(
        key=f"quarantine.lots:{found[0].vessel.pk}",
        title="Animals here",
        place="",
        sentence=f"{'; '.join(told)}{rest}.",
        url=_page(found),
    )


def _told(one: Held) -> str:
    return f"{one.vessel.code}: {one.count} {one.lot.species.scientific_name} ({one.lot.code})"


def _page(found: list[Held]) -> str:
    """The lot where there is one alone, else the stay of the water."""
    if len(found) == 1:
        return reverse("quarantine:lot", args=[found[0].lot.pk])
    return reverse("quarantine:stay", args=[found[0].vessel.pk])
