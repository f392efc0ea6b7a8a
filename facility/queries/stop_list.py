"""The house's own lines of the stop list: its standing rules, and what is loose or on hold."""

from collections.abc import Iterator
from datetime import datetime
from uuid import UUID

from facility.models import Site
from facility.queries.loose_ends import loose_in
from facility.rules.hygiene import CLEANEST
from facility.rules.standing_in import HOUSE_RULES
from facility.rules.wording import day_and_time
from facility.sockets.loose_ends import Loose
from facility.sockets.stop_list import Stop


def house_stops(site_id: UUID, at: datetime) -> Iterator[Stop]:
    for leave, why in HOUSE_RULES:
        yield Stop(
            key=f"facility.rule:{leave}", place="", hygiene_rank=CLEANEST, leave=leave, why=why
        )
    site = Site.objects.get(pk=site_id)
    yield from (_stop(one, site) for one in loose_in(site, at))


def _stop(one: Loose, site: Site) -> Stop:
    """What is overdue is not left as it is: its owner is asked."""
    until = day_and_time(one.due_back_at, zone=site.zone)
    leave = "Overdue, ask today" if one.is_overdue else "Leave as it is"
    return Stop(
        key=one.key,
        place=one.place,
        hygiene_rank=one.hygiene_rank,
        leave=f"{leave}: {one.what}",
        why=f"{one.why}; until {until}. {one.note}".strip(),
        ask=one.owner_name,
        url=one.url,
    )
