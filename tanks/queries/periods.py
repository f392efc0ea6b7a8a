"""What reports of weeks and months have in common: the period's waters, readings and words."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any, Final, TypeAlias
from uuid import UUID

from facility.models import Site
from facility.rules.canonical import plain
from facility.rules.periods import Period
from tanks.models import Reading, Vessel
from tanks.queries.company import Companies
from tanks.queries.exceedances import Told, in_period, readings_by_water
from tanks.queries.looks import STANDS_BESIDE
from tanks.queries.waters import Water, waters
from tanks.rules.corrective_actions import said
from tanks.rules.exceedances import Look
from tanks.rules.limits import NAMES

Content: TypeAlias = dict[str, Any]
# The form of the content; a change of form is told apart from a change of facts by it.
EDITION: Final = 1


@dataclass(frozen=True, kw_only=True)
class Past:
    """A period of a site that is over; nothing that happened later is told."""

    site: Site
    period: Period

    @cached_property
    def span(self) -> tuple[datetime, datetime]:
        return self.period.span(self.site.zone)

    @property
    def begin(self) -> datetime:
        return self.span[0]

    @property
    def end(self) -> datetime:
        return self.span[1]

    @property
    def last(self) -> datetime:
        """The last moment of it."""
        return self.end - timedelta.resolution

    @cached_property
    def companies(self) -> Companies:
        return Companies(site=self.site, until=self.end)

    @cached_property
    def _by_water(self) -> dict[Vessel, list[Reading]]:
        """With what stood beside the first readings of the period."""
        return readings_by_water(self.companies, since=self.begin - STANDS_BESIDE)

    @cached_property
    def readings(self) -> dict[Vessel, list[Reading]]:
        """What was read, by the anchor of the water it was read in."""
        found = {
            anchor: [row for row in rows if row.happened_at >= self.begin]
            for anchor, rows in self._by_water.items()
        }
        return {anchor: rows for anchor, rows in found.items() if rows}

    @cached_property
    def waters(self) -> list[Water]:
        """As they stood at the end."""
        return waters(self.site, at=self.last)

    @cached_property
    def exceedances(self) -> list[Told]:
        return in_period(self.companies, self._by_water, begin=self.begin)

    @cached_property
    def anchors(self) -> list[Vessel]:
        """Waters that stood at the end, and others that were read before they changed."""
        found = {water.anchor.pk: water.anchor for water in self.waters}
        found |= {anchor.pk: anchor for anchor in self.readings}
        return sorted(found.values(), key=lambda one: (one.area.hygiene_rank, one.code))

    def head(self) -> Content:
        """What every report begins with."""
        return {
            "edition": EDITION,
            "site": self.site.name,
            "zone": self.site.time_zone,
            "jurisdiction": self.site.jurisdiction,
            "kind": self.period.kind,
            "begins_on": self.period.begins_on.isoformat(),
            "ends_on": self.period.ends_on.isoformat(),
            "waters": [water_content(anchor) for anchor in self.anchors],
        }

    def told(self) -> list[Content]:
        return [_exceedance(one, self.begin, self.end) for one in self.exceedances]


def water_content(anchor: Vessel) -> Content:
    return {
        "key": str(anchor.pk),
        "code": anchor.code,
        "name": anchor.name,
        "is_system": anchor.kind == Vessel.Kind.SYSTEM,
    }


def _exceedance(told: Told, begin: datetime, end: datetime) -> Content:
    one = told.exceedance
    until = one.passed.at if one.passed else end
    return {
        "water": str(told.anchor.pk),
        "parameter": one.parameter,
        "name": NAMES[one.parameter],
        "level": one.level,
        "source": one.first.finding.source,
        "verified": one.first.finding.verified,
        "is_start_up": one.first.is_start_up,
        "began_before": one.first.at < begin,
        "first": _look(one.first),
        "worst": _look(one.worst),
        "readings": len(one.looks),
        "minutes": int((until - one.first.at).total_seconds() // 60),
        "actions": _actions(told),
        "passed": _look(one.passed) if one.passed else None,
        "unsure": _look(one.unsure) if one.unsure else None,
    }


def _look(look: Look) -> Content:
    return {
        "at": plain(look.at),
        "text": look.text,
        "sentence": look.finding.sentence,
        "by": look.by,
        "reading": str(look.reading),
    }


def _actions(told: Told) -> list[Content]:
    return [
        {"at": plain(act.happened_at), "what": said(act.action, act.note), "by": act.by.full_name}
        for act in told.actions
    ]


def key_of(about: str) -> UUID | None:
    """Return the vessel a subject of work is, if it is one."""
    table, _, key = about.partition(":")
    return UUID(key) if table == "tanks.vessel" else None
