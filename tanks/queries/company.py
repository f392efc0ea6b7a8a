"""Who shared water with a vessel at any moment of a time."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Final
from uuid import UUID

from facility.models import Site
from tanks.models import Vessel
from tanks.queries.waters import openings
from tanks.rules.waters import Opening, Span, spans, together

# Before anything anybody brings in.
DAWN: Final = datetime(1990, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Company:
    """The spans of one vessel, in order."""

    spans: tuple[Span, ...]

    def at(self, moment: datetime) -> frozenset[UUID]:
        """Return the members of its water then; outside its time those of the nearest end."""
        for span in self.spans:
            if span.until is None or moment < span.until:
                return span.members
        return self.spans[-1].members

    @property
    def everybody(self) -> frozenset[UUID]:
        return frozenset().union(*(span.members for span in self.spans))


@dataclass(frozen=True, kw_only=True)
class Companies:
    """The companies of a site's vessels up to a moment, in one query for all of them."""

    site: Site
    until: datetime

    @cached_property
    def _bearing(self) -> dict[UUID, tuple[Opening, ...]]:
        return together(openings(self.site))

    @cached_property
    def _known(self) -> dict[UUID, Company]:
        return {}

    @cached_property
    def vessels(self) -> dict[UUID, Vessel]:
        rows = Vessel.objects.filter(site=self.site).select_related("area", "site")
        return {vessel.pk: vessel for vessel in rows}

    def of(self, vessel: UUID) -> Company:
        if vessel not in self._known:
            until = self.until + timedelta.resolution
            found = spans(vessel, self._bearing.get(vessel, ()), since=DAWN, until=until)
            self._known[vessel] = Company(tuple(found))
        return self._known[vessel]

    def anchor(self, vessel: UUID, at: datetime) -> Vessel:
        """Return the vessel that the water is named by: its system's core, or the lone tank."""
        return anchor_of(self.vessels[member] for member in self.of(vessel).at(at))


def anchor_of(members: Iterable[Vessel]) -> Vessel:
    return min(members, key=lambda vessel: (vessel.kind != Vessel.Kind.SYSTEM, vessel.code))
