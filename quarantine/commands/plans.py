"""Plan which animals enter which water on which day."""

from dataclasses import asdict, dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from quarantine.models import Lot, PlannedEntry, Species
from tanks.commands.finding import vessel_for
from tanks.models import Vessel


class PlanOfNothing(Refusal):
    code = "plan-of-nothing"
    field = "species_id"


class PlanCountMissing(Refusal):
    code = "plan-count-missing"
    field = "count"


class PlanFeedNegative(Refusal):
    code = "plan-feed-negative"
    field = "feed_g_per_day"


class DropReasonMissing(Refusal):
    code = "drop-reason-missing"
    field = "reason"


class DroppedBefore(Refusal):
    code = "dropped-before"
    field = "planned_id"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanEntry:
    """``count`` of a lot, or of a species still to be bought, enter on ``planned_on``."""

    id: UUID
    vessel_id: UUID
    count: int
    planned_on: date
    feed_g_per_day: Decimal
    lot_id: UUID | None = None
    species_id: UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DropPlannedEntry:
    id: UUID
    planned_id: UUID
    reason: str


@transaction.atomic(durable=True)
def plan_entry(command: PlanEntry, *, by: Person, at: datetime) -> PlannedEntry:
    """Keep a line of the stocking plan; it moves no animal.

    Raises:
        NotFound, NotAllowed, IdTaken, PlanOfNothing, PlanCountMissing, PlanFeedNegative
    """
    vessel = vessel_for(by, command.vessel_id, deed="quarantine.plan-entry")
    lot, species = _kind(command, vessel)
    columns = asdict(command) | {"species_id": species.pk, "lot_id": lot.pk if lot else None}
    if planned := earlier(PlannedEntry, command.id, columns):
        return planned
    if command.count < 1:
        raise PlanCountMissing("Write how many are to enter, 1 or more.")
    if command.feed_g_per_day < 0:
        raise PlanFeedNegative("Write how much they will be fed, 0 or more.")
    planned = PlannedEntry.objects.create(**columns, happened_at=at, recorded_at=at, by=by)
    _record("quarantine.plan-entry", planned, vessel, by=by, at=at)
    return planned


@transaction.atomic(durable=True)
def drop_planned_entry(command: DropPlannedEntry, *, by: Person, at: datetime) -> PlannedEntry:
    """Take a line off the plan; what was planned stays on record.

    Raises:
        NotFound, NotAllowed, IdTaken, DropReasonMissing, DroppedBefore
    """
    planned = _planned_for(command, by)
    reason = command.reason.strip()
    if row := earlier(PlannedEntry, command.id, {"corrects_id": planned.pk, "reason": reason}):
        return row
    if not reason:
        raise DropReasonMissing("Say in a few words why it is off the plan.")
    if PlannedEntry.objects.filter(corrects=planned).exists():
        raise DroppedBefore("It is off the plan already.")
    row = PlannedEntry.objects.create(
        id=command.id,
        vessel=planned.vessel,
        lot=planned.lot,
        species=planned.species,
        count=planned.count,
        planned_on=planned.planned_on,
        feed_g_per_day=planned.feed_g_per_day,
        corrects=planned,
        reason=reason,
        withdrawn=True,
        happened_at=at,
        recorded_at=at,
        by=by,
    )
    _record("quarantine.drop-planned-entry", row, planned.vessel, by=by, at=at)
    return row


def _kind(command: PlanEntry, vessel: Vessel) -> tuple[Lot | None, Species]:
    if command.lot_id is not None:
        lots = Lot.objects.select_related("species").filter(site=vessel.site_id)
        lot = lots.filter(pk=command.lot_id).first()
        if lot is None:
            raise NotFound("There is no such lot here.")
        return lot, lot.species
    if command.species_id is None:
        raise PlanOfNothing("Choose a lot, or the species to be bought.")
    species = Species.objects.filter(pk=command.species_id, site=vessel.site_id).first()
    if species is None:
        raise NotFound("There is no such species here.")
    return None, species


def _planned_for(command: DropPlannedEntry, by: Person) -> PlannedEntry:
    rows = PlannedEntry.objects.filter(vessel__in=Vessel.objects.open_to(by), corrects=None)
    known = rows.select_related("vessel__site", "lot", "species")
    planned: PlannedEntry | None = known.filter(pk=command.planned_id).first()
    if planned is None:
        raise NotFound("There is no such line on a plan here.")
    people.require(by, "quarantine.drop-planned-entry", planned.vessel.site)
    take_turn(planned.vessel.site)
    return planned


def _record(kind: str, row: PlannedEntry, vessel: Vessel, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind, [row], about=vessel, site=vessel.site, by=by, happened_at=at, recorded_at=at
    )
