"""What is on hold now, and where that has to be seen."""

from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet
from django.urls import reverse

from facility.models import Person, Site
from facility.rules.wording import day_and_time
from facility.sockets.stop_list import Stop
from quarantine.models import Hold, Lot
from quarantine.queries.books import held_by, lots_in
from tanks.models import Vessel
from tanks.queries.waters import water_of
from tanks.sockets.remarks import Remark


def standing_holds(about: Q, *, at: datetime) -> QuerySet[Hold]:
    """Holds that nobody has lifted by then, oldest first."""
    rows = Hold.objects.current().filter(about, happened_at__lte=at)
    rows = rows.exclude(lift__isnull=False, lift__happened_at__lte=at)
    known = rows.select_related("lot__site", "lot__species", "vessel__site", "vessel__area", "by")
    return known.order_by("happened_at", "pk")


def holds_on(
    *, lot: Lot | None = None, vessel_ids: Collection[UUID] = (), at: datetime
) -> list[Hold]:
    """Holds on the lot, or on any of the vessels."""
    about = Q(vessel__in=list(vessel_ids))
    return list(standing_holds(about | Q(lot=lot) if lot else about, at=at))


def holds_in(water_ids: Collection[UUID], *, at: datetime) -> list[Hold]:
    """Holds on a water, and on any lot with animals in it."""
    lots = {held.lot.pk for held in lots_in(water_ids, at=at)}
    return list(standing_holds(Q(vessel__in=list(water_ids)) | Q(lot__in=lots), at=at))


def holds_at(site: Site, *, at: datetime) -> list[Hold]:
    return list(standing_holds(Q(lot__site=site) | Q(vessel__site=site), at=at))


def hold_open_to(person: Person, hold_id: UUID) -> Hold | None:
    """The hold, lifted or not, where the person may see its site."""
    sites = Site.objects.open_to(person)
    rows = Hold.objects.current().filter(Q(lot__site__in=sites) | Q(vessel__site__in=sites))
    known = rows.select_related("lot__site", "lot__species", "vessel__site", "vessel__area", "by")
    return known.filter(pk=hold_id).first()


def subject_of(hold: Hold) -> str:
    """What is held, in words."""
    if hold.lot is not None:
        return hold.lot.code
    return f"water of {hold.vessel.code}" if hold.vessel else ""


def site_of(hold: Hold) -> Site:
    subject = hold.lot or hold.vessel
    assert subject is not None  # noqa: S101  the table's own constraint
    return subject.site


def remarks_on_water(vessel_ids: Collection[UUID], at: datetime) -> Iterator[Remark]:
    yield from _remarks(holds_in(vessel_ids, at=at))


def remarks_at_site(site_id: UUID, at: datetime) -> Iterator[Remark]:
    yield from _remarks(holds_at(Site.objects.get(pk=site_id), at=at))


def stops(site_id: UUID, at: datetime) -> Iterator[Stop]:
    """Lines for a stand-in: what stays where it is."""
    for hold in holds_at(Site.objects.get(pk=site_id), at=at):
        place = _vessel(hold, at)
        yield Stop(
            key=f"quarantine.hold:{hold.pk}",
            place=place.code if place else "",
            hygiene_rank=place.area.hygiene_rank if place else 1,
            leave=f"Do not sell, move or join: {subject_of(hold)}",
            why=f"{hold.get_kind_display()}: {hold.why}",
            ask=hold.by.full_name,
            url=_page(hold),
        )


def _vessel(hold: Hold, at: datetime) -> Vessel | None:
    if hold.vessel is not None or hold.lot is None:
        return hold.vessel
    rows = Vessel.objects.filter(pk__in=held_by(hold.lot, at=at)).select_related("area")
    return rows.order_by("code", "pk").first()


def _remarks(holds: Iterable[Hold]) -> Iterator[Remark]:
    for hold in holds:
        since = day_and_time(hold.happened_at, zone=site_of(hold).zone)
        yield Remark(
            key=f"quarantine.hold:{hold.pk}",
            title="On hold",
            place=subject_of(hold),
            sentence=f"{hold.get_kind_display()}: {hold.why} ({hold.by.full_name}, {since}). "
            "Not to be sold, moved out or joined.",
            url=_page(hold),
            stops=True,
        )


def _page(hold: Hold) -> str:
    return reverse("quarantine:hold", args=[hold.pk])


def members_of(hold: Hold, *, at: datetime) -> frozenset[UUID]:
    """The vessels a hold bears on: a held water is all that mixes with its vessel now."""
    return water_of(hold.vessel, at=at).member_ids if hold.vessel else frozenset()
