"""What the page of a water says of its deaths lately."""

from collections.abc import Collection, Iterator
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from django.urls import reverse

from quarantine.queries.deaths import DeathTold, deaths_in
from tanks.sockets.remarks import Remark

_WEEK: Final = timedelta(days=7)


def death_remarks(vessel_ids: Collection[UUID], at: datetime) -> Iterator[Remark]:
    """One line for each vessel in which animals died within a week."""
    by_vessel: dict[UUID, list[DeathTold]] = {}
    for death in deaths_in(vessel_ids, since=at - _WEEK, until=at):
        by_vessel.setdefault(death.vessel_id, []).append(death)
    for vessel, deaths in by_vessel.items():
        count = sum(death.count for death in deaths)
        unknown = sum(death.count for death in deaths if not death.is_explained)
        yield Remark(
            key=f"quarantine.deaths:{vessel}",
            title=f"{count} died within 7 days",
            sentence=f"{unknown} without a known cause." if unknown else "The cause is known.",
            place=deaths[0].vessel_code,
            url=reverse("quarantine:tank-looks", args=[vessel]),
        )
