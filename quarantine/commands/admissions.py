"""Open the gate into a water; record the first animals that entered."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import models, transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from facility.rules.wording import day_and_time
from quarantine.models import Admission, Stocking
from quarantine.queries.gate import Gate, gate_of
from quarantine.rules.gate import hindrances, takes_two
from tanks.commands.finding import vessel_for
from tanks.models import Cycle, Vessel
from tanks.queries.cycles import course
from tanks.rules.certificates import Voided
from tanks.rules.requirements import as_plain


class GateClosed(Refusal):
    """``hindrances`` holds a sentence for each requirement that is not met or unknown."""

    code = "gate-closed"

    def __init__(self, gate: Gate) -> None:
        self.hindrances = tuple(hindrances(gate.requirements))
        super().__init__(" ".join([gate.answer, *self.hindrances]))


class MeaningMissing(Refusal):
    code = "meaning-missing"
    field = "meaning"


class SamePerson(Refusal):
    code = "same-person"


class CountMissing(Refusal):
    code = "count-missing"
    field = "count"


class WhatMissing(Refusal):
    code = "what-missing"
    field = "what"


class BeforeAdmission(Refusal):
    code = "before-admission"
    field = "happened_at"


class ProofLost(Refusal):
    code = "proof-lost"
    field = "happened_at"


class AdmissionTooOld(Refusal):
    code = "admission-too-old"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdmitAnimals:
    """``meaning`` is what the signature stands for."""

    id: UUID
    vessel_id: UUID
    meaning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordStocking:
    """``count`` animals, ``what`` in plain words, entered the water at ``happened_at``."""

    id: UUID
    admission_id: UUID
    count: int
    what: str
    happened_at: datetime


@transaction.atomic(durable=True)
def admit_animals(command: AdmitAnimals, *, by: Person, at: datetime) -> Admission:
    """Sign that animals may enter; the requirements are kept as they were met.

    Raises:
        NotFound, NotAllowed, IdTaken, MeaningMissing, GateClosed, SamePerson
    """
    vessel = vessel_for(by, command.vessel_id, deed="quarantine.admit-animals")
    columns = asdict(command) | {"meaning": command.meaning.strip()}
    # A second person who sends the same has not signed: the signature on record is another's.
    if admission := earlier(Admission, command.id, columns | {"by_id": by.pk}):
        return admission
    if not columns["meaning"]:
        raise MeaningMissing("Write what your signature stands for.")
    admission = admit(columns, gate_of(vessel, at=at), by=by, at=at)
    _record("quarantine.admit-animals", admission, admission.cycle, by=by, when=at, at=at)
    return admission


@transaction.atomic(durable=True)
def record_stocking(command: RecordStocking, *, by: Person, at: datetime) -> Stocking:
    """Keep what entered under an admission that is still fresh.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, CountMissing, WhatMissing,
        BeforeAdmission, AdmissionTooOld, ProofLost
    """
    admission = _admission_for(by, command.admission_id)
    columns = asdict(command) | {"what": command.what.strip()}
    if stocking := earlier(Stocking, command.id, columns):
        return stocking
    require_past(command.happened_at, at=at)
    if command.count < 1:
        raise CountMissing("Write how many animals entered, 1 or more.")
    if not columns["what"]:
        raise WhatMissing("Write what entered, such as the species.")
    require_open(admission, command.happened_at)
    stocking = Stocking.objects.create(**columns, recorded_at=at, by=by)
    when = command.happened_at
    _record("quarantine.record-stocking", stocking, admission.cycle, by=by, when=when, at=at)
    return stocking


def admit(columns: Mapping[str, Any], gate: Gate, *, by: Person, at: datetime) -> Admission:
    """Open the gate in the caller's transaction; the requirements are kept as they were met.

    Raises:
        GateClosed, SamePerson
    """
    cycle = _opened(gate, by)
    return Admission.objects.create(
        **columns,
        cycle=cycle,
        requirements=as_plain(gate.requirements),
        happened_at=at,
        recorded_at=at,
        by=by,
    )


def require_open(admission: Admission, happened_at: datetime) -> None:
    """Refuse what enters before the gate was opened, too long after, or once the proof is gone.

    Raises:
        BeforeAdmission, AdmissionTooOld, ProofLost
    """
    _require_fresh(admission, happened_at)
    _require_proof(admission, happened_at)


def valid_until(admission: Admission) -> datetime:
    """Return until when animals may enter: as long as its readings count as fresh."""
    hours = float(admission.cycle.policy.reading_fresh_hours)
    return admission.happened_at + timedelta(hours=hours)


def _opened(gate: Gate, by: Person) -> Cycle:
    if gate.cycle is None or gate.known.certified is None or not gate.opens:
        raise GateClosed(gate)
    certified = gate.known.certified
    if not takes_two(readers=certified.readers, signer=certified.signer, admits=by.pk):
        raise SamePerson(
            "One person alone read both passes and signed them; somebody else must open the gate."
        )
    return gate.cycle


def _admission_for(by: Person, admission_id: UUID) -> Admission:
    rows = Admission.objects.current().filter(vessel__in=Vessel.objects.open_to(by))
    known = rows.select_related("vessel__site", "cycle__policy", "cycle__vessel__site")
    admission: Admission | None = known.filter(pk=admission_id).first()
    if admission is None:
        raise NotFound("There is no such admission here.")
    people.require(by, "quarantine.record-stocking", admission.vessel.site)
    take_turn(admission.vessel.site)
    return admission


def _require_fresh(admission: Admission, happened_at: datetime) -> None:
    zone = admission.vessel.site.zone
    if happened_at < admission.happened_at:
        opened = day_and_time(admission.happened_at, zone=zone)
        raise BeforeAdmission(f"The gate was opened on {opened}; give that time or a later one.")
    until = valid_until(admission)
    if happened_at > until:
        raise AdmissionTooOld(
            f"The gate stood open until {day_and_time(until, zone=zone)}: read the water again "
            "and have the gate signed anew."
        )


def _require_proof(admission: Admission, happened_at: datetime) -> None:
    """What voids the proof after the gate was opened shuts it again."""
    held = course(admission.cycle, at=happened_at).certificate
    if held is None or isinstance(held.standing, Voided):
        why = held.standing.sentence if held and isinstance(held.standing, Voided) else ""
        raise ProofLost(
            f"The certified feed was void by then. {why} Keep the animals out of this water and, "
            "if they are in already, log an incident that says so."
        )


def _record(
    kind: str, row: models.Model, cycle: Cycle, *, by: Person, when: datetime, at: datetime
) -> None:
    site = cycle.vessel.site
    ledger.record(kind, [row], about=cycle, site=site, by=by, happened_at=when, recorded_at=at)
