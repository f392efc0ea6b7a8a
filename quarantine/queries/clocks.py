"""Until when the animals of a water wait, and whom a late comer would keep waiting longer."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid4

from facility.models import Site
from facility.rules.wording import day_and_time
from quarantine.models import Lot, Species
from quarantine.queries.books import lots_at
from quarantine.queries.stay_histories import (
    Gathered,
    Temperature,
    gathered,
    sheet_days,
    temperatures,
)
from quarantine.rules.clocks import Clock, Flow, Stay, clock_for
from quarantine.rules.histories import stays
from quarantine.rules.stays import Asked, coldest, most, shortest, slowest
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of, waters
from tanks.rules.waters import Opening, Span, spans


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """Animals of one lot in one vessel, and until when they wait.

    ``asked`` is everything that asks for days; what of it cannot be told has no days.
    """

    lot: Lot
    vessel: Vessel
    stay: Stay
    clock: Clock
    asked: tuple[Asked, ...]

    @property
    def count(self) -> int:
        return self.stay.count

    @property
    def untold(self) -> tuple[Asked, ...]:
        return tuple(one for one in self.asked if one.days is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """Whose release moves from when to when; None where no date can be told."""

    lot: Lot
    vessel: Vessel
    old: datetime | None
    new: datetime | None
    waits: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Consequences:
    """What an entry would do: whose dates move, until when who enters waits, where else to go."""

    shifts: tuple[Shift, ...]
    entrant: Clock | None
    free: tuple[Water, ...]


def waiting_in(water: Water) -> list[Waiting]:
    """Every lot in the water at its moment, by vessel and lot."""
    known = gathered(water.anchor.site, water.member_ids, at=water.at)
    return _waiting(known, water.members)


def waiting_at(site: Site, *, at: datetime) -> list[tuple[Water, list[Waiting]]]:
    """Every water of the site with animals; the number of queries does not grow with them."""
    held = {one.vessel.pk for one in lots_at(site, at=at)}
    known_waters = [water for water in waters(site, at=at) if water.member_ids & held]
    members = [vessel for water in known_waters for vessel in water.members]
    known = gathered(site, [vessel.pk for vessel in members], at=at)
    found = _waiting(known, members)
    return [
        (water, [one for one in found if one.vessel.pk in water.member_ids])
        for water in known_waters
    ]


def waiting_of(lot: Lot, vessels: Collection[Vessel], *, at: datetime) -> list[Waiting]:
    """The lot, in those of the vessels where it is."""
    known = gathered(lot.site, [vessel.pk for vessel in vessels], at=at)
    return [one for one in _waiting(known, vessels) if one.lot == lot]


def clock_of(vessel: Vessel, *, at: datetime) -> Clock:
    """The clock of the water that holds ``vessel``: that of the last of its lots to leave."""
    return latest([one.clock for one in waiting_in(water_of(vessel, at=at))])


def latest(clocks: Collection[Clock]) -> Clock:
    """The clock that keeps all of them in; without any, one that never began."""
    waits = tuple(sorted({why for clock in clocks for why in clock.waits}))
    since = max((clock.since for clock in clocks if clock.since), default=None)
    dated = [(clock.ends_at, clock) for clock in clocks if clock.ends_at is not None]
    if waits or not dated:
        return Clock(since=since, ends_at=None, binding=None, waits=waits)
    return max(dated, key=lambda each: each[0])[1]


def consequences(
    vessel: Vessel,
    *,
    at: datetime,
    lot: Lot | None = None,
    source: Vessel | None = None,
    species: Species | None = None,
) -> Consequences:
    """What an entry into the water of ``vessel`` at that moment would do to who is there.

    ``lot`` comes from ``source`` inside the house, or, without one, from outside. Who is in no
    lot yet stays as long as the ``species`` asks.
    """
    water = water_of(vessel, at=at)
    about = {*water.member_ids, *([source.pk] if source else [])}
    before = gathered(vessel.site, about, at=at, also=[lot.pk] if lot else [])
    flow = _entrance(vessel, at=at, lot=lot, source=source)
    days = _days_of(species, before) if species else 0
    after = before.with_flow(flow, days=days)
    found = _clocks(after, water.members).items()
    entrant = [clock for key, clock in found if key == (flow.to_lot, vessel.pk)]
    return Consequences(
        shifts=tuple(_shifts(before, after, water.members)),
        entrant=entrant[0] if entrant else None,
        free=tuple(free_waters(vessel, at=at)),
    )


def if_joined(vessel: Vessel, system: Vessel, *, at: datetime) -> list[Shift]:
    """Whose dates move when a valve between the two is opened at that moment."""
    members = {one.pk: one for end in (vessel, system) for one in water_of(end, at=at).members}
    before = gathered(vessel.site, members, at=at)
    joined = Opening(vessel=vessel.pk, system=system.pk, since=at)
    return list(_shifts(before, before.with_opening(joined), members.values()))


def told_if_opened(vessel_id: UUID, system_id: UUID, at: datetime) -> Iterator[str]:
    """Say whose release moves, for the sheet on which a valve is opened."""
    ends = Vessel.objects.select_related("site", "area").in_bulk([vessel_id, system_id])
    if len(ends) < len({vessel_id, system_id}) or vessel_id == system_id:
        return
    for shift in if_joined(ends[vessel_id], ends[system_id], at=at):
        zone = shift.vessel.site.zone
        old, new = (
            day_and_time(one, zone=zone) if one else "no date" for one in (shift.old, shift.new)
        )
        yield f"The release of {shift.lot.code} in {shift.vessel.code} moves: {old} → {new}."


def free_waters(vessel: Vessel, *, at: datetime) -> list[Water]:
    """Other waters of the house, no cleaner than this one, that no animal is in."""
    held = {one.vessel.pk for one in lots_at(vessel.site, at=at)}
    rank = vessel.area.hygiene_rank
    return [
        water
        for water in waters(vessel.site, at=at)
        if not water.member_ids & held
        and vessel.pk not in water.member_ids
        and water.anchor.area.hygiene_rank >= rank
    ]


def _entrance(vessel: Vessel, *, at: datetime, lot: Lot | None, source: Vessel | None) -> Flow:
    """One animal is enough to set the clock of all."""
    pk = lot.pk if lot else uuid4()
    came_from = source.pk if source else None
    return Flow(
        at=at,
        count=1,
        from_lot=pk if source else None,
        from_vessel=came_from,
        to_lot=pk,
        to_vessel=vessel.pk,
        is_arrival=source is None,
        told=f"{lot.code if lot else 'a late comer'} enters {vessel.code}",
    )


def _days_of(species: Species, known: Gathered) -> int:
    """Without papers it is not known whether they come from abroad; then home is assumed."""
    return most(
        shortest(
            known.rules.rules,
            group=species.group,
            water_kind=species.water_kind,
            is_from_abroad=False,
            sheet_days=sheet_days([species.pk], at=known.at).get(species.pk),
        )
    )


def _shifts(before: Gathered, after: Gathered, vessels: Iterable[Vessel]) -> Iterator[Shift]:
    named = {vessel.pk: vessel for vessel in vessels}
    old, new = _clocks(before, named.values()), _clocks(after, named.values())
    for key, clock in old.items():
        then = new.get(key)
        if then and (then.ends_at, then.waits) != (clock.ends_at, clock.waits):
            yield Shift(
                lot=before.lots[key[0]],
                vessel=named[key[1]],
                old=clock.ends_at,
                new=then.ends_at,
                waits=then.waits,
            )


def _clocks(known: Gathered, vessels: Iterable[Vessel]) -> dict[tuple[UUID, UUID], Clock]:
    return {
        (stay.lot, stay.vessel): _timed(known, stay, vessel, cold)[0]
        for stay, vessel, cold in _stays(known, vessels)
    }


def _waiting(known: Gathered, vessels: Iterable[Vessel]) -> list[Waiting]:
    found = []
    for stay, vessel, cold in _stays(known, vessels):
        clock, slow = _timed(known, stay, vessel, cold)
        asked = (*known.asked[stay.lot], *slow)
        lot = known.lots[stay.lot]
        found.append(Waiting(lot=lot, vessel=vessel, stay=stay, clock=clock, asked=asked))
    return sorted(found, key=lambda one: (one.vessel.code, one.lot.code, one.lot.pk))


def _stays(
    known: Gathered, vessels: Iterable[Vessel]
) -> Iterator[tuple[Stay, Vessel, dict[date, float]]]:
    """Each stay in these vessels, with what temperature was logged there since it began."""
    named = {vessel.pk: vessel for vessel in vessels}
    here = [one for one in stays(known.history, at=known.at) if one.vessel in named]
    begun = min((at for stay in here if (at := _begun(stay))), default=None)
    logged = _logged(known, named, begun) if begun else []
    for stay in sorted(here, key=lambda one: (str(one.vessel), str(one.lot))):
        vessel, since = named[stay.vessel], _begun(stay)
        yield stay, vessel, _coldest(known, vessel, since, logged) if since else {}


def _begun(stay: Stay) -> datetime | None:
    """Since when it matters how warm it was: not for those who wait no more."""
    return None if stay.is_settled else min(entry.at for entry in stay.entries)


def _logged(known: Gathered, vessels: Iterable[UUID], since: datetime) -> list[Temperature]:
    links = known.history.openings
    company = {end for one in links for end in (one.vessel, one.system)} | set(vessels)
    return temperatures(company, since=since, until=known.at)


def _coldest(
    known: Gathered, vessel: Vessel, since: datetime, logged: list[Temperature]
) -> dict[date, float]:
    """The lowest temperature logged in the vessel's water on each day of the site, °C."""
    links = known.history.openings
    found: dict[date, float] = {}
    for span in spans(vessel.pk, links, since=since, until=max(since, known.at)):
        for one in logged:
            if one.vessel in span.members and _is_in(one.at, span, known.at):
                day = one.at.astimezone(vessel.site.zone).date()
                found[day] = min(one.low_c, found.get(day, one.low_c))
    return found


def _is_in(at: datetime, span: Span, until: datetime) -> bool:
    """The moment asked about is in the last span as well."""
    return span.since <= at and (span.until is None or at < span.until or at == until)


def _timed(
    known: Gathered, stay: Stay, vessel: Vessel, cold: dict[date, float]
) -> tuple[Clock, list[Asked]]:
    """The clock by the slowest parasite as well, and what each of them asks for."""
    lot = known.lots.get(stay.lot)
    kind = lot.species.water_kind if lot else ""

    def asked_since(since: datetime) -> list[Asked]:
        first = since.astimezone(vessel.site.zone).date()
        logged = coldest({day: low for day, low in cold.items() if day >= first})
        return slowest(known.rules.cycles, water_kind=kind, coldest_c=logged[1] if logged else None)

    clock = clock_for(stay, lambda since: most(asked_since(since)))
    return clock, asked_since(stay.last.at) if stay.last and not stay.is_settled else []
