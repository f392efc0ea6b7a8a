"""The board: every water of a site, in a number of queries that does not grow with them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from facility.models import Alert, Site
from facility.queries.alerts import standing_at
from facility.sockets.work import Due, task_sources
from tanks.models import Reading
from tanks.queries.cycles import courses
from tanks.queries.devices import Running, running
from tanks.queries.following import Followed, follow_all
from tanks.queries.meanings import Judgement, judgements_of
from tanks.queries.readings import latest_in_waters
from tanks.queries.waters import Water, waters
from tanks.rules.limits import IN_RANGE, WATCH, Finding

SHOWN = ("TAN", "NITRITE", "PH", "TEMPERATURE")


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One water: what it last read, what that means, what is due and what is turned off."""

    water: Water
    followed: Followed | None
    latest: dict[str, Reading]
    judged: Judgement
    due: tuple[Due, ...]
    off: tuple[Running, ...]
    alert: Alert | None

    @property
    def shown(self) -> list[Reading | None]:
        return [self.latest.get(name) for name in SHOWN]

    @property
    def findings(self) -> list[Finding]:
        """What asks for an act, most pressing first."""
        pressing = (one for one in self.judged.meaning.findings if IN_RANGE < one.level < WATCH)
        return sorted(pressing, key=lambda one: one.level)

    @property
    def overdue(self) -> list[Due]:
        return [one for one in self.due if one.due_at < self.water.at]

    @property
    def needs_a_look(self) -> bool:
        return bool(self.findings or self.overdue or self.alert) or any(
            each.is_overdue for each in self.off
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One site at one moment."""

    site: Site
    at: datetime
    lines: tuple[Line, ...]

    @property
    def cycling(self) -> list[Line]:
        return [line for line in self.lines if line.followed]

    @property
    def needing(self) -> list[Line]:
        return [line for line in self.lines if line.needs_a_look and not line.followed]

    @property
    def resting(self) -> list[Line]:
        return [line for line in self.lines if not line.needs_a_look and not line.followed]


def board(site: Site, *, at: datetime) -> Board:
    found = waters(site, at=at)
    latest = latest_in_waters(found)
    judged = judgements_of(found, latest)
    followed = {one.told.cycle.vessel_id: one for one in follow_all(courses(site, at=at))}
    due = _by_vessel(due_at(site, at=at))
    off = [each for each in running(_members(found), at=at) if not each.is_on]
    alerts = {alert.about: alert for alert in standing_at(site)}
    lines = (
        Line(
            water=water,
            followed=_of(water, followed),
            latest=latest.get(water.anchor.pk, {}),
            judged=judged[water.anchor.pk],
            due=_here(water, due),
            off=tuple(each for each in off if each.device.vessel_id in water.member_ids),
            alert=alert_of(water, alerts),
        )
        for water in found
    )
    return Board(site=site, at=at, lines=tuple(lines))


def alert_of(water: Water, standing: Mapping[str, Alert]) -> Alert | None:
    """The most pressing alert about a vessel of this water; ``standing`` are those by subject."""
    found = [standing[key] for key in water.subjects if key in standing]
    return min(found, key=lambda alert: (alert.level, alert.raised_at, alert.pk), default=None)


def due_at(site: Site, *, at: datetime) -> list[Due]:
    """All that is due at the site: clean before dirty, then by time."""
    found = [due for source in task_sources for due in source.due(site.pk, at)]
    return sorted(found, key=lambda due: (due.hygiene_rank, due.due_at, due.place, due.key))


def _members(found: Iterable[Water]) -> list[UUID]:
    return [pk for water in found for pk in water.member_ids]


def _of(water: Water, followed: dict[UUID, Followed]) -> Followed | None:
    return next((followed[pk] for pk in water.member_ids if pk in followed), None)


def _by_vessel(found: Iterable[Due]) -> dict[UUID, list[Due]]:
    sorted_by: dict[UUID, list[Due]] = {}
    for due in found:
        for pk in due.vessel_ids:
            sorted_by.setdefault(pk, []).append(due)
    return sorted_by


def _here(water: Water, due: dict[UUID, list[Due]]) -> tuple[Due, ...]:
    found = {one.key: one for member in water.members for one in due.get(member.pk, ())}
    return tuple(sorted(found.values(), key=lambda one: (one.due_at, one.title, one.key)))
