"""A start-up's whole record, as of the latest line of the ledger that is about it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from uuid import UUID

from django.db.models import QuerySet

from facility.models import Document, Entry
from facility.sockets.paper import Section
from tanks.models import Cycle, Vessel, Volume
from tanks.queries.cycles import Course, course
from tanks.queries.stories import story
from tanks.sockets.dossier import sections_from_above

KIND: Final = "tanks.dossier"
_ISSUED: Final = "facility.issue-document"


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The story of a start-up with the ledger lines that tell it; ``head`` is the latest.

    ``codes`` name every vessel that ever shared the water.
    """

    told: Course
    lines: tuple[Entry, ...]
    codes: Mapping[UUID, str]
    volumes: tuple[Volume, ...]
    more: tuple[Section, ...]

    @property
    def cycle(self) -> Cycle:
        return self.told.cycle

    @property
    def head(self) -> Entry:
        return self.lines[-1]


def record_of(cycle: Cycle, *, at: datetime) -> Record:
    """Gather the record. The same lines give the same record, whatever the clock says."""
    codes = _codes(cycle, at)
    lines = tuple(_lines(cycle, codes))
    as_of = max(line.recorded_at for line in lines)
    told = course(cycle, at=as_of)
    return Record(
        told=told,
        lines=lines,
        codes=codes,
        volumes=tuple(_volumes(codes)),
        more=tuple(sections_from_above(cycle.pk, as_of)),
    )


def key_of(cycle: Cycle) -> str:
    """Name the start-up as the ledger does."""
    return f"{cycle._meta.label_lower}:{cycle.pk}"


def issued_for(cycle: Cycle) -> QuerySet[Document]:
    """Dossiers of this start-up that were issued, latest first."""
    rows = Document.objects.filter(kind=KIND, about=key_of(cycle)).select_related("by")
    return rows.order_by("-issued_at", "pk")


def _codes(cycle: Cycle, at: datetime) -> dict[UUID, str]:
    members = {vessel for span in story(cycle, at=at).spans for vessel in span.members}
    rows = Vessel.objects.filter(pk__in=members).order_by("kind", "code")
    return {vessel.pk: vessel.code for vessel in rows}


def _lines(cycle: Cycle, codes: Mapping[UUID, str]) -> QuerySet[Entry]:
    keys = [key_of(cycle), *(f"{Vessel._meta.label_lower}:{pk}" for pk in codes)]
    rows = Entry.objects.filter(site=cycle.vessel.site, about__in=keys)
    return rows.exclude(kind=_ISSUED).select_related("by").order_by("number")


def _volumes(codes: Mapping[UUID, str]) -> QuerySet[Volume]:
    rows = Volume.objects.current().filter(vessel__in=list(codes))
    return rows.select_related("by", "vessel").order_by("vessel__code", "happened_at", "pk")
