"""What higher apps say of a water, or of the house today: animals on hold, say."""

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from facility.sockets.socket import Socket


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """One line for people; ``stops`` when something must not be done meanwhile.

    ``place`` is where it holds, and ``url`` the page it is dealt with on.
    """

    key: str
    title: str
    sentence: str
    place: str
    url: str
    stops: bool = False


def _nothing(_site_id: UUID, _at: datetime) -> Iterable[Remark]:
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RemarkSource:
    """``of_water(vessel_ids, at)`` speaks of a water, ``today(site_id, at)`` of a site."""

    name: str
    of_water: Callable[[Collection[UUID], datetime], Iterable[Remark]]
    today: Callable[[UUID, datetime], Iterable[Remark]] = _nothing


remark_sources: Final = Socket[RemarkSource]("remarks on a water")


def remarks_on(vessel_ids: Collection[UUID], at: datetime) -> list[Remark]:
    """What is said of a water: what stops something first."""
    found = [one for source in remark_sources for one in source.of_water(vessel_ids, at)]
    return sorted(found, key=lambda one: not one.stops)


def remarks_today(site_id: UUID, at: datetime) -> list[Remark]:
    """What is said of a site today: what stops something first."""
    found = [one for source in remark_sources for one in source.today(site_id, at)]
    return sorted(found, key=lambda one: (not one.stops, one.place))
