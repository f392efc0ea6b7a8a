"""The proof behind a water, as the gate asks about it."""

from datetime import datetime
from uuid import UUID

from facility.rules.wording import day_and_time, written
from quarantine.rules.known import Certified, Conditions, Happened, Trial
from tanks.models import Incident
from tanks.queries import proofs
from tanks.queries.cycles import Course
from tanks.queries.proofs import Tried
from tanks.queries.stories import standing
from tanks.rules.measured import Measured, of
from tanks.rules.proof import WINDOW_SLACK

# What leaves nothing behind once it is over.
_PASSING = {Incident.Kind.POWER_LOSS.value, Incident.Kind.OTHER.value}


def certified_in(told: Course) -> Certified | None:
    """The certificate in force, else the latest, with its passes judged again."""
    held = told.certificate
    if held is None:
        return None
    row, passes = held.certificate, _passes(told, held)
    failing = next((one for one in passes if not one.passed), None)
    why = failing.judgement.why_not if failing and failing.judgement else ""
    return Certified(
        signed_at=row.happened_at,
        signed_by=row.by.full_name,
        signer=row.by_id,
        readers=readers_of(passes),
        feed_g_per_day=float(row.feed_g_per_day),
        protein_share=float(row.protein_share),
        members={UUID(member["id"]): member["code"] for member in row.members},
        litres=float(row.water_litres),
        standing=held.standing,
        passes=len(row.pass_ids),
        standing_passes=sum(one.passed for one in passes),
        corrections_since=_corrections_since(told, held),
        why_undone=why,
    )


def readers_of(passes: list[Tried]) -> frozenset[UUID]:
    judged = (one.judgement.readers for one in passes if one.judgement)
    return frozenset().union(*judged)


def trial_in(told: Course) -> Trial | None:
    """The latest challenge and what became of it."""
    if not told.challenges:
        return None
    latest = told.challenges[-1]
    zone = told.cycle.vessel.site.zone
    dosed = day_and_time(latest.challenge.dose.happened_at, zone=zone)
    load = f"{written(latest.challenge.target_mg_l_n)} mg/L-N, dosed {dosed}"
    if latest.judgement is None:
        due = day_and_time(latest.ends_at, zone=zone)
        said = f"A challenge of {load}, is not judged; its end readings are due {due}."
        return Trial(outcome="running", dosed_at=latest.challenge.dose.happened_at, told=said)
    why = f"passed: {load}." if latest.passed else f"not passed: {latest.judgement.why_not}"
    return Trial(
        outcome="passed" if latest.passed else "failed",
        dosed_at=latest.challenge.dose.happened_at,
        told=f"The latest challenge was {why}",
    )


def conditions_in(told: Course) -> Conditions | None:
    """Temperature and salinity of the latest pass: the ones read in it, else the last before."""
    passed = next((one for one in reversed(told.challenges) if one.passed), None)
    if passed is None:
        return None
    dosed_at = passed.challenge.dose.happened_at
    known = [one for one in told.measures if one.at <= passed.ends_at + WINDOW_SLACK]
    return Conditions(
        temperature=_furthest(
            of("TEMPERATURE", known), dosed_at, float(told.cycle.stocking_temperature_c)
        ),
        salinity=_furthest(
            of("SALINITY", known), dosed_at, float(told.cycle.stocking_salinity_g_kg)
        ),
    )


def incidents_in(told: Course) -> tuple[Happened, ...]:
    """Every incident of the start-up now held true."""
    passed = [one.challenge.dose.happened_at for one in told.challenges if one.passed]
    return tuple(
        Happened(
            at=row.happened_at,
            told=f"{row.get_kind_display()}: {row.note}" if row.note else row.get_kind_display(),
            has_ended=row.kind in _PASSING and row.lasted_h is not None,
            is_outlived=any(dosed_at > row.happened_at for dosed_at in passed),
        )
        for row in standing(told.story.incidents)
    )


def _furthest(known: list[Measured], dosed_at: datetime, wanted: float) -> Measured | None:
    during = [one for one in known if one.at >= dosed_at] or known[-1:]
    return max(during, key=lambda one: abs(one.low - wanted), default=None)


def _passes(told: Course, held: proofs.Certified) -> list[Tried]:
    ids = set(held.certificate.pass_ids)
    return [one for one in told.challenges if one.verdict and one.verdict.pk in ids]


def _corrections_since(told: Course, held: proofs.Certified) -> int:
    since = held.certificate.recorded_at
    return sum(
        row.corrects_id is not None and row.recorded_at > since for row in told.story.readings
    )
