"""A lot's whole story, as an auditor asks for it at its release."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from quarantine.models import Box, Death, Finding, Hold, Lot, Move, Observation, Release
from quarantine.queries.records import Kept, kept
from quarantine.queries.tracing import LOT, Traced, trace_from
from quarantine.rules.carriers import Presence
from quarantine.rules.tracing import Direction
from tanks.models import Cycle, Vessel
from tanks.queries.dossiers import Record, record_of
from tanks.queries.waters import water_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """``dossiers`` are those of the waters it was released into, oldest first."""

    lot: Lot
    kept: Kept
    presences: tuple[Presence, ...]
    codes: dict[object, str]
    boxes: tuple[Box, ...]
    looks: tuple[Observation, ...]
    deaths: tuple[Death, ...]
    findings: tuple[Finding, ...]
    holds: tuple[Hold, ...]
    releases: tuple[Release, ...]
    moves: tuple[Move, ...]
    before: Traced | None
    dossiers: tuple[Record, ...]


def story_of(lot: Lot, *, at: datetime) -> Story | None:
    """Gather everything on record about a lot; None before anything is."""
    known = kept(lot.site, since=lot.acquired_at, until=at, lot=lot)
    if known is None:
        return None
    own = tuple(one for one in known.presences if one.lot == lot.pk)
    tanks = {one.vessel for one in own}
    releases = tuple(_releases(lot))
    return Story(
        lot=lot,
        kept=known,
        presences=own,
        codes=dict(Vessel.objects.filter(site=lot.site).values_list("pk", "code")),
        boxes=tuple(_boxes(lot)),
        looks=tuple(_looks(lot, tanks, own)),
        deaths=tuple(_deaths(lot)),
        findings=tuple(_findings(lot, tanks, own)),
        holds=tuple(_holds(lot, tanks)),
        releases=releases,
        moves=tuple(_moves(lot)),
        before=_before(lot, at),
        dossiers=tuple(_dossiers(releases, at)),
    )


def _boxes(lot: Lot) -> list[Box]:
    rows = Box.objects.current().filter(lot=lot).select_related("vessel", "protocol", "by")
    return list(rows.order_by("happened_at", "number", "bag"))


def _looks(lot: Lot, tanks: Collection[object], own: Collection[Presence]) -> list[Observation]:
    """Looks at the lot, and at its tanks while it was there."""
    rows = Observation.objects.current().filter(Q(lot=lot) | Q(lot=None, vessel__in=tanks))
    known = rows.select_related("vessel", "by").order_by("happened_at", "pk")
    return [row for row in known if row.lot_id or _was_there(own, row.vessel_id, row.happened_at)]


def _deaths(lot: Lot) -> list[Death]:
    rows = Death.objects.current().filter(change__from_lot=lot)
    known = rows.select_related("change__from_vessel", "by").prefetch_related("necropsies")
    return list(known.order_by("happened_at", "pk"))


def _findings(lot: Lot, tanks: Collection[object], own: Collection[Presence]) -> list[Finding]:
    rows = Finding.objects.current().filter(Q(lot=lot) | Q(lot=None, vessel__in=tanks))
    known = rows.select_related("vessel", "lot", "by").order_by("happened_at", "pk")
    return [row for row in known if row.lot_id or _was_there(own, row.vessel_id, row.happened_at)]


def _holds(lot: Lot, tanks: Collection[object]) -> list[Hold]:
    rows = Hold.objects.current().filter(Q(lot=lot) | Q(vessel__in=tanks))
    known = rows.select_related("lot", "vessel", "by", "lift__by")
    return list(known.order_by("happened_at", "pk"))


def _releases(lot: Lot) -> list[Release]:
    rows = Release.objects.current().filter(lot=lot)
    known = rows.select_related("vessel", "destination__site", "destination__area", "by")
    return list(known.order_by("happened_at", "pk"))


def _moves(lot: Lot) -> list[Move]:
    rows = Move.objects.current().filter(change__from_lot=lot)
    known = rows.select_related("change__from_vessel", "change__to_vessel", "by")
    return list(known.order_by("happened_at", "pk"))


def _before(lot: Lot, at: datetime) -> Traced | None:
    """From where anything could have reached it since it came."""
    if lot.acquired_at >= at:
        return None
    return trace_from(
        lot.site,
        f"{LOT}:{lot.pk}",
        direction=Direction.BACKWARD,
        since=lot.acquired_at,
        until=at,
    )


def _dossiers(releases: Collection[Release], at: datetime) -> list[Record]:
    """The latest start-up of each water released into."""
    found: dict[object, Cycle] = {}
    for release in releases:
        water = water_of(release.destination, at=release.happened_at)
        cycles = Cycle.objects.filter(
            vessel__in=water.member_ids, started_at__lte=release.happened_at
        )
        known = cycles.select_related("vessel__site", "policy")
        if cycle := known.order_by("-started_at").first():
            found[cycle.pk] = cycle
    return [record_of(cycle, at=at) for cycle in found.values()]


def _was_there(own: Collection[Presence], vessel_id: object, at: datetime) -> bool:
    return any(
        one.vessel == vessel_id and one.start <= at and (one.end is None or at <= one.end)
        for one in own
    )
