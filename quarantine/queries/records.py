"""Facts behind the records a house owes: lots, their book, courses, moves, tests."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q, QuerySet

from facility.models import Document, Entry, HygieneBreak, Site
from quarantine.models import (
    CountChange,
    Course,
    Finding,
    KitCleaning,
    Lot,
    Necropsy,
    TankReset,
    TreatmentDose,
)
from quarantine.queries.books import posting
from quarantine.queries.course_events import related
from quarantine.queries.courses import CourseStanding, standing
from quarantine.rules.carriers import Presence, presences

_ISSUED = "facility.issue-document"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Everything a record is made of; ``head`` is the ledger line it is as of."""

    site: Site
    head: Entry
    since: datetime
    until: datetime
    lots: tuple[Lot, ...]
    changes: tuple[CountChange, ...]
    presences: tuple[Presence, ...]
    courses: tuple[CourseStanding, ...]

    def changes_of(self, lot: Lot) -> list[CountChange]:
        return [row for row in self.changes if lot.pk in (row.from_lot_id, row.to_lot_id)]

    def courses_of(self, lot: Lot) -> list[CourseStanding]:
        """Courses of waters the lot was in while they ran."""
        own = [one for one in self.presences if one.lot == lot.pk]
        return [course for course in self.courses if any(_meets(course, one) for one in own)]


def kept(site: Site, *, since: datetime, until: datetime, lot: Lot | None = None) -> Kept | None:
    """Gather a site's record, or one lot's; None before the site's first ledger line.

    A lot belongs to a period in which it was here, or anything happened to it.
    """
    head = head_of(site)
    if head is None:
        return None
    rows = CountChange.objects.current().filter(Q(from_lot__site=site) | Q(to_lot__site=site))
    changes = tuple(_related(rows.filter(happened_at__lte=until)))
    held = tuple(presences([posting(row) for row in changes]))
    lots = [lot] if lot else _lots(site, changes, held, since)
    return Kept(
        site=site,
        head=head,
        since=since,
        until=until,
        lots=tuple(lots),
        changes=changes,
        presences=held,
        courses=tuple(courses_at(site, until=until)),
    )


def head_of(site: Site) -> Entry | None:
    """The latest line of the ledger that is more than the issue of a document."""
    lines = Entry.objects.filter(site=site).exclude(kind=_ISSUED)
    return lines.order_by("-number").first()


def courses_at(site: Site, *, until: datetime) -> list[CourseStanding]:
    rows = Course.objects.current().filter(vessel__site=site, happened_at__lte=until)
    known = related(rows).prefetch_related("steps").order_by("happened_at", "pk")
    return [standing(course, at=until) for course in known]


def doses_of(course: Course) -> list[TreatmentDose]:
    rows = TreatmentDose.objects.current().filter(course=course).select_related("container", "by")
    return list(rows.order_by("happened_at", "pk"))


def findings_at(site: Site, since: datetime, until: datetime) -> QuerySet[Finding]:
    rows = Finding.objects.current().filter(Q(vessel__site=site) | Q(lot__site=site))
    rows = rows.filter(happened_at__gte=since, happened_at__lte=until)
    return rows.select_related("vessel", "lot", "by").order_by("happened_at", "pk")


def necropsies_at(site: Site, since: datetime, until: datetime) -> QuerySet[Necropsy]:
    rows = Necropsy.objects.current().filter(death__change__from_lot__site=site)
    rows = rows.filter(happened_at__gte=since, happened_at__lte=until)
    return rows.select_related("death__change__from_lot", "by").order_by("happened_at", "pk")


def cleanings_at(site: Site, since: datetime, until: datetime) -> QuerySet[KitCleaning]:
    rows = KitCleaning.objects.current().filter(kit__site=site)
    rows = rows.filter(happened_at__gte=since, happened_at__lte=until)
    return rows.select_related("kit", "by").order_by("happened_at", "pk")


def resets_in(site: Site, since: datetime, until: datetime) -> QuerySet[TankReset]:
    rows = TankReset.objects.current().filter(vessel__site=site)
    rows = rows.filter(happened_at__gte=since, happened_at__lte=until)
    return rows.select_related("vessel", "by").order_by("happened_at", "pk")


def breaks_at(site: Site, since: datetime, until: datetime) -> QuerySet[HygieneBreak]:
    rows = HygieneBreak.objects.current().filter(site=site)
    rows = rows.filter(happened_at__gte=since, happened_at__lte=until)
    return rows.select_related("by").order_by("happened_at", "pk")


def issued(kind: str, about: str) -> QuerySet[Document]:
    rows = Document.objects.filter(kind=kind, about=about).select_related("by")
    return rows.order_by("-issued_at", "pk")


def _related(rows: QuerySet[CountChange]) -> QuerySet[CountChange]:
    known = rows.select_related(
        "from_lot__species", "to_lot__species", "from_vessel", "to_vessel", "by"
    )
    known = known.select_related(
        "to_lot__consignment__supplier", "from_lot__supplier", "to_lot__supplier"
    )
    return known.order_by("happened_at", "recorded_at", "pk")


def _lots(
    site: Site, changes: Iterable[CountChange], held: Iterable[Presence], since: datetime
) -> list[Lot]:
    there = {one.lot for one in held if one.end is None or one.end >= since}
    for row in changes:
        if row.happened_at >= since:
            there |= {pk for pk in (row.from_lot_id, row.to_lot_id) if pk is not None}
    rows = Lot.objects.filter(site=site, pk__in=there)
    return list(rows.select_related("species", "supplier", "consignment").order_by("code"))


def _meets(course: CourseStanding, one: Presence) -> bool:
    ended = course.ended_at
    is_there = str(one.vessel) in course.course.members or one.vessel == course.course.vessel_id
    begun_before = one.end is None or course.course.happened_at <= one.end
    return is_there and begun_before and (ended is None or one.start <= ended)
