"""Certify, as a second person, the feed that passes have proven."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier
from facility.models import Person
from facility.refusals import Refusal
from tanks.commands.cycles import cycle_for, require_open
from tanks.commands.start_up_duties import end_tests
from tanks.models import Certificate
from tanks.queries.cycles import Course, course
from tanks.queries.proofs import Tried, happenings, proven_by
from tanks.rules.certificates import Voided, certified_feed, hindrances, state


class NotProven(Refusal):
    code = "not-proven"
    field = "pass_ids"


class ProofLapsed(Refusal):
    code = "proof-lapsed"
    field = "pass_ids"


class AlreadyCertified(Refusal):
    code = "already-certified"
    field = "pass_ids"


class SamePerson(Refusal):
    code = "same-person"


class MeaningMissing(Refusal):
    code = "meaning-missing"
    field = "meaning"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignCertificate:
    """``pass_ids`` are verdicts that follow on one another; ``meaning`` is what is signed for."""

    id: UUID
    cycle_id: UUID
    pass_ids: tuple[UUID, ...]
    meaning: str


@transaction.atomic(durable=True)
def sign_certificate(command: SignCertificate, *, by: Person, at: datetime) -> Certificate:
    """Certify, as a second person, the feed that consecutive passes have proven.

    Raises:
        NotFound, NotAllowed, IdTaken, CycleEnded, MeaningMissing, NotProven, SamePerson,
        AlreadyCertified, ProofLapsed
    """
    cycle = cycle_for(by, command.cycle_id, deed="tanks.sign-certificate")
    columns = asdict(command) | {"pass_ids": list(command.pass_ids)}
    # A second person who sends the same has not signed: the signature on record is another's.
    if certificate := earlier(Certificate, command.id, columns | {"by_id": by.pk}):
        return certificate
    require_open(cycle)
    if not command.meaning.strip():
        raise MeaningMissing("Write what your signature stands for.")
    told = course(cycle, at=at)
    passes = _passes(command, told)
    _require_second_person(passes, by)
    proof = _proof(told, passes, at)
    certificate = Certificate.objects.create(
        **columns, **proof, happened_at=at, recorded_at=at, by=by
    )
    ledger.record(
        "tanks.sign-certificate",
        [certificate, *end_tests(cycle, at=at)],
        about=cycle,
        site=cycle.vessel.site,
        by=by,
        happened_at=at,
        recorded_at=at,
    )
    return certificate


def _passes(command: SignCertificate, told: Course) -> list[Tried]:
    chosen = [one for one in told.challenges if one.verdict and one.verdict.pk in command.pass_ids]
    if len(chosen) != len(set(command.pass_ids)):
        raise NotProven("One of these passes is not on record for this start-up.")
    judgements = [one.judgement for one in chosen]
    stretch = [one.judgement for one in _stretch(told, chosen)]
    found = list(hindrances(stretch, chosen=judgements, terms=told.terms))
    if found:
        raise NotProven(found[0])
    return chosen


def _stretch(told: Course, chosen: list[Tried]) -> list[Tried]:
    """Every challenge from the first chosen to the last, chosen or not."""
    if not chosen:
        return []
    order = list(told.challenges)
    return order[order.index(chosen[0]) : order.index(chosen[-1]) + 1]


def _require_second_person(passes: list[Tried], by: Person) -> None:
    readers = {person for one in passes if one.judgement for person in one.judgement.readers}
    if by.pk in readers:
        raise SamePerson("Whoever read a pass cannot sign for it; ask a second person.")


def _proof(told: Course, passes: list[Tried], at: datetime) -> dict[str, object]:
    """Return what is certified: of the water as it was at the first pass."""
    since = passes[0].challenge.dose.happened_at
    if any(set(one.certificate.pass_ids) & _ids(passes) for one in told.certificates):
        raise AlreadyCertified("A certificate stands on these passes already.")
    members, litres = told.story.members_at(since), told.story.litres_at(since)
    proven = proven_by(told.story, passes[0].challenge, members=members, litres=litres)
    standing = state(proven, happenings(told.story, since=since), at=at)
    if isinstance(standing, Voided):
        raise ProofLapsed(f"Since the first pass the proof was voided. {standing.sentence}")
    judgements = [one.judgement for one in passes if one.judgement]
    protein = float(told.cycle.protein_share)
    load, feed = certified_feed(judgements, volume_l=litres, protein_share=protein)
    return {
        "load_mg_l_n": Decimal(repr(load)).quantize(Decimal("0.001")),
        "water_litres": Decimal(repr(litres)).quantize(Decimal("0.01")),
        "members": [
            {"id": str(vessel.pk), "code": vessel.code}
            for vessel in told.story.water.members
            if vessel.pk in members
        ],
        "protein_share": told.cycle.protein_share,
        "feed_g_per_day": feed,
    }


def _ids(passes: list[Tried]) -> set[UUID]:
    return {one.verdict.pk for one in passes if one.verdict}
