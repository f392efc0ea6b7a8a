"""Start a biofilter on its way; end the start-up."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from tanks.commands.finding import require_in_use, vessel_for
from tanks.commands.start_up_duties import end_all
from tanks.commands.startable import (
    StartCycle as StartCycle,
)
from tanks.commands.startable import (
    ask_whether_empty,
    columns_of,
    policy_for,
    require_ammonia,
    require_provable,
    require_sense,
    startable_water,
)
from tanks.models import Cycle
from tanks.queries.cycles import course, related
from tanks.queries.policies import terms_of


class CycleEnded(Refusal):
    code = "cycle-ended"
    field = "cycle_id"


class EndBeforeStart(Refusal):
    code = "end-before-start"
    field = "happened_at"


class UnknownOutcome(Refusal):
    code = "unknown-outcome"
    field = "outcome"


class NothingProven(Refusal):
    code = "nothing-proven"
    field = "outcome"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndCycle:
    cycle_id: UUID
    outcome: str
    happened_at: datetime


@transaction.atomic(durable=True)
def start_cycle(command: StartCycle, *, by: Person, at: datetime) -> Cycle:
    """Begin a start-up of the water that holds the vessel, under the site's policy.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, UnknownChoice, UnknownSeed,
        NotYetThere, VolumeUnknown, CycleOpen, NoPolicy, AmmoniaUnfit, OriginMissing,
        CyclingTemperatureUnfit, StockingTemperatureUnfit, CyclingSalinityUnfit,
        StockingSalinityUnfit, FeedUnfit, ProteinUnfit, AnimalsThere
    """
    vessel = vessel_for(by, command.vessel_id, deed="tanks.start-cycle")
    columns = columns_of(command)
    if cycle := earlier(Cycle, command.id, columns):
        return cycle
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    policy = policy_for(vessel, command.happened_at)
    require_sense(command)
    require_ammonia(command, vessel)
    water = startable_water(vessel, command.happened_at)
    require_provable(command, water, terms_of(policy))
    ask_whether_empty(water, confirmed=command.confirmed)
    cycle = Cycle.objects.create(**columns, policy=policy, started_by=by)
    ledger.record(
        "tanks.start-cycle",
        [cycle],
        about=cycle,
        site=vessel.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
        water=[str(member.pk) for member in water.members],
        water_litres=water.litres,
        confirmed=sorted(command.confirmed),
    )
    return cycle


@transaction.atomic(durable=True)
def end_cycle(command: EndCycle, *, by: Person, at: datetime) -> Cycle:
    """End a start-up: stocked under a certificate in force, or given up.

    Raises:
        NotFound, NotAllowed, InTheFuture, UnknownOutcome, CycleEnded, EndBeforeStart,
        NothingProven
    """
    cycle = cycle_for(by, command.cycle_id, deed="tanks.end-cycle")
    if (cycle.ended_at, cycle.outcome) == (command.happened_at, command.outcome):
        return cycle
    require_open(cycle)
    require_past(command.happened_at, at=at)
    _require_end(command, cycle)
    cycle.ended_at, cycle.outcome = command.happened_at, command.outcome
    cycle.save(update_fields=["ended_at", "outcome"])
    ledger.record(
        "tanks.end-cycle",
        [cycle, *end_all(cycle, at=at)],
        about=cycle,
        site=cycle.vessel.site,
        by=by,
        happened_at=command.happened_at,
        recorded_at=at,
    )
    return cycle


def cycle_for(by: Person, cycle_id: UUID, *, deed: str) -> Cycle:
    """Return the start-up, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    cycle = related(Cycle.objects.open_to(by)).filter(pk=cycle_id).first()
    if cycle is None:
        raise NotFound("There is no such start-up here.")
    people.require(by, deed, cycle.vessel.site)
    take_turn(cycle.vessel.site)
    cycle.refresh_from_db(fields=["ended_at", "outcome"])
    return cycle


def require_open(cycle: Cycle) -> None:
    if cycle.ended_at is not None:
        when = day_and_time(cycle.ended_at, zone=cycle.vessel.site.zone)
        raise CycleEnded(f"This start-up ended on {when}: {cycle.get_outcome_display().lower()}.")


def _require_end(command: EndCycle, cycle: Cycle) -> None:
    if command.outcome not in Cycle.Outcome.values:
        raise UnknownOutcome("Choose how it ended: stocked or given up.")
    if command.happened_at < cycle.started_at:
        raise EndBeforeStart("The end lies before the start; give a later time.")
    if command.outcome == Cycle.Outcome.STOCKED:
        told = course(cycle, at=command.happened_at)
        if not told.is_certified:
            raise NothingProven("No certified feed was in force then, so it was not stocked.")
