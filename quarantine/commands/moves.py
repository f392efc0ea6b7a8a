"""Move animals from one vessel to another: with a release, or within quarantine."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid5

from django.db import models, transaction
from django.db.models import Sum

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past
from facility.models import Person
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.commands.admissions import require_open
from quarantine.commands.books import Change, enter, lot_for
from quarantine.commands.releases import released_until, vessel_here
from quarantine.models import CountChange, Lot, Move, Release, Stocking
from quarantine.queries.clocks import waiting_in, waiting_of
from quarantine.queries.holds import holds_in, holds_on, subject_of
from tanks.commands.finding import require_in_use
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of


class SameVessel(Refusal):
    code = "same-vessel"
    field = "to_vessel_id"


class MoveHeld(Refusal):
    code = "move-held"
    field = "to_vessel_id"


class ReleaseMissing(Refusal):
    code = "release-missing"
    field = "to_vessel_id"


class ReleaseOfOther(Refusal):
    code = "release-of-other"
    field = "release_id"


class ReleaseTooOld(Refusal):
    code = "release-too-old"
    field = "happened_at"


class ReleaseUsedUp(Refusal):
    code = "release-used-up"
    field = "count"


class ReleaseOvertaken(Refusal):
    code = "release-overtaken"
    field = "release_id"


class MethodUnknown(Refusal):
    code = "method-unknown"
    field = "method"


class CarriedNegative(Refusal):
    code = "carried-negative"
    field = "water_litres"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveAnimals:
    """``water_litres`` went along, ideally none; ``acclimation`` is how they were brought over.

    ``release_id`` is the signature that lets them out of quarantine.
    """

    id: UUID
    lot_id: UUID
    from_vessel_id: UUID
    to_vessel_id: UUID
    count: int
    method: str
    water_litres: Decimal
    happened_at: datetime
    acclimation: str = ""
    release_id: UUID | None = None


@transaction.atomic(durable=True)
def move_animals(command: MoveAnimals, *, by: Person, at: datetime) -> Move:
    """Move them in the book, with how it was done.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, SameVessel, MethodUnknown,
        CarriedNegative, NoneCounted, CountsDoNotClose, MoveHeld, ReleaseMissing, ReleaseOfOther,
        ReleaseTooOld, ReleaseUsedUp, ReleaseOvertaken, BeforeAdmission, AdmissionTooOld, ProofLost
    """
    lot = lot_for(by, command.lot_id, deed="quarantine.move-animals")
    source, target = (vessel_here(lot, pk) for pk in (command.from_vessel_id, command.to_vessel_id))
    if move := _delivered(command):
        return move
    require_past(command.happened_at, at=at)
    _require_said(command, source, target)
    release = _release(command, lot)
    _require_way(command, lot, source, target, release)
    change = enter(_change(command, lot, source, target), by=by, at=at)
    stocking = _stocking(command, lot, release, by=by, at=at)
    move = Move.objects.create(
        id=command.id,
        change=change,
        release=release,
        stocking=stocking,
        happened_at=command.happened_at,
        recorded_at=at,
        by=by,
        **_how(command),
    )
    rows = [move, change, *([stocking] if stocking else [])]
    _record(rows, target, by=by, when=command.happened_at, at=at)
    return move


def _delivered(command: MoveAnimals) -> Move | None:
    """The book's line says who, whence, whither and how many; the move how."""
    move = earlier(Move, command.id, _how(command) | {"release_id": command.release_id})
    if move is not None:
        told = asdict(command)
        names = {"from_lot_id": "lot_id", "to_vessel_id": "to_vessel_id", "count": "count"}
        names |= {"from_vessel_id": "from_vessel_id", "happened_at": "happened_at"}
        earlier(CountChange, move.change_id, {column: told[name] for column, name in names.items()})
    return move


def _how(command: MoveAnimals) -> dict[str, Any]:
    return {
        "method": command.method,
        "water_litres": command.water_litres,
        "acclimation": command.acclimation.strip(),
    }


def _require_said(command: MoveAnimals, source: Vessel, target: Vessel) -> None:
    if source == target:
        raise SameVessel(f"They are in {source.code} already; choose another tank.")
    require_in_use(target, at=command.happened_at)
    if command.method not in Move.Method.values:
        raise MethodUnknown("Choose how they were moved.")
    if command.water_litres < 0:
        raise CarriedNegative("Write how many litres went along, 0 or more.")


def _release(command: MoveAnimals, lot: Lot) -> Release | None:
    if command.release_id is None:
        return None
    rows = Release.objects.current().select_related("lot__site", "destination__site", "admission")
    release: Release | None = rows.filter(pk=command.release_id, lot__site=lot.site_id).first()
    if release is None:
        raise NotFound("There is no such release here.")
    return release


def _require_way(
    command: MoveAnimals, lot: Lot, source: Vessel, target: Vessel, release: Release | None
) -> None:
    when = command.happened_at
    here, there = water_of(source, at=when), water_of(target, at=when)
    if here.member_ids == there.member_ids:
        return
    _require_not_held(lot, here, there, into_dirtier=_is_dirtier(source, target))
    if release is not None:
        _require_release(release, command, there)
    elif _needs_release(lot, source, target, there):
        raise ReleaseMissing(
            f"{lot.code} still waits in {source.code}: into {target.code} it goes with a signed "
            "release only."
        )


def _is_dirtier(source: Vessel, target: Vessel) -> bool:
    return target.area.hygiene_rank > source.area.hygiene_rank


def _require_not_held(lot: Lot, here: Water, there: Water, *, into_dirtier: bool) -> None:
    """What is held stays; only into a dirtier area, to be isolated, may it go."""
    held = holds_on(lot=lot, vessel_ids=here.member_ids, at=here.at)
    found = [*([] if into_dirtier else held), *holds_in(there.member_ids, at=there.at)]
    if found:
        told = "; ".join(
            f"{subject_of(one)}, {one.get_kind_display().lower()}: {one.why}" for one in found
        )
        raise MoveHeld(f"On hold: {told}. Lift the hold first, or leave them where they are.")


def _needs_release(lot: Lot, source: Vessel, target: Vessel, there: Water) -> bool:
    """Who still waits goes neither into a cleaner area nor to animals that wait no more."""
    waiting = waiting_of(lot, [source], at=there.at)
    if all(one.stay.is_settled for one in waiting):
        return False
    is_cleaner = target.area.hygiene_rank < source.area.hygiene_rank
    return is_cleaner or any(one.stay.is_settled for one in waiting_in(there))


def _require_release(release: Release, command: MoveAnimals, there: Water) -> None:
    same = (release.lot_id, release.vessel_id) == (command.lot_id, command.from_vessel_id)
    if not same or release.destination_id not in there.member_ids:
        raise ReleaseOfOther("This release is for another lot, tank or destination; sign anew.")
    until, zone = released_until(release), release.lot.site.zone
    if not release.happened_at <= command.happened_at <= until:
        since = day_and_time(release.happened_at, zone=zone)
        raise ReleaseTooOld(
            f"The release is good from {since} until {day_and_time(until, zone=zone)}; have it "
            "signed anew."
        )
    moved = Move.objects.current().filter(release=release).aggregate(n=Sum("change__count"))["n"]
    left = release.count - (moved or 0)
    if command.count > left:
        raise ReleaseUsedUp(f"The release lets {release.count} out; {left} of them are left.")
    _require_not_overtaken(release, command)


def _require_not_overtaken(release: Release, command: MoveAnimals) -> None:
    """What entered their water after the signature begins their days anew."""
    for one in waiting_of(release.lot, [release.vessel], at=command.happened_at):
        if not one.stay.is_settled:
            told = one.stay.last.told if one.stay.last else ""
            raise ReleaseOvertaken(f"Since it was signed, {told}: their days begin anew.")


def _change(command: MoveAnimals, lot: Lot, source: Vessel, target: Vessel) -> Change:
    return Change(
        id=uuid5(command.id, "book"),
        kind=CountChange.Kind.MOVED,
        count=command.count,
        happened_at=command.happened_at,
        from_lot=lot,
        from_vessel=source,
        to_lot=lot,
        to_vessel=target,
    )


def _stocking(
    command: MoveAnimals, lot: Lot, release: Release | None, *, by: Person, at: datetime
) -> Stocking | None:
    """The first animals of a water end its start-up: they are recorded as its stocking too."""
    if release is None or release.admission is None:
        return None
    require_open(release.admission, command.happened_at)
    return Stocking.objects.create(
        id=uuid5(command.id, "stocking"),
        admission=release.admission,
        count=command.count,
        what=f"{lot.species.scientific_name}, {lot.code}"[:200],
        happened_at=command.happened_at,
        recorded_at=at,
        by=by,
    )


def _record(
    rows: Sequence[models.Model], target: Vessel, *, by: Person, when: datetime, at: datetime
) -> None:
    ledger.record(
        "quarantine.move-animals",
        rows,
        about=target,
        site=target.site,
        by=by,
        happened_at=when,
        recorded_at=at,
    )
