"""Where each carcass is, and how long it is still worth opening."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.sockets.work import Due
from quarantine.models import CarcassFate, Death, Necropsy
from quarantine.queries.deaths import deaths_related
from quarantine.rules.necropsy import Clock, necropsy_clock

_LATELY: Final = timedelta(days=2)


def carcass_of(death: Death) -> str:
    """The latest that was said of it; of a death read with ``deaths_related``."""
    moved: list[CarcassFate] = getattr(death, "moved", [])
    return moved[-1].carcass if moved else death.carcass


def clock_of(death: Death) -> Clock:
    opened: list[Necropsy] = getattr(death, "opened", [])
    carcass = carcass_of(death)
    return necropsy_clock(found_at=death.happened_at, carcass=carcass, is_opened=bool(opened))


def carcass_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """Carcasses whose clock runs."""
    site = Site.objects.get(pk=site_id)
    rows = deaths_related(Death.objects.current()).filter(
        change__from_lot__site=site, happened_at__gt=at - _LATELY, happened_at__lte=at
    )
    for death in rows.order_by("happened_at", "pk"):
        clock = clock_of(death)
        if clock.until is not None and clock.is_open(at):
            yield _due(death, clock.until)


def _due(death: Death, until: datetime) -> Due:
    lot, vessel = death.change.from_lot, death.change.from_vessel
    code = lot.code if lot else ""
    return Due(
        key=f"quarantine.carcass:{death.pk}",
        title=f"Open a carcass of {code}, or cool it",
        why="What a necropsy shows is lost within hours.",
        place=vessel.code if vessel else "",
        hygiene_rank=vessel.area.hygiene_rank if vessel else 1,
        due_at=until,
        url=reverse("quarantine:death", args=[death.pk]),
        vessel_ids=frozenset([vessel.pk] if vessel else []),
        kind="NECROPSY",
    )
