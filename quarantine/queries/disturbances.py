"""What may set a clock back: treatments, deaths nobody explained, pathogens found."""

from collections.abc import Collection, Iterator
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from quarantine.models import Course, CourseStep, Death, Finding, Necropsy
from quarantine.models.deaths import Cause
from quarantine.queries.books import held_by
from quarantine.rules.clocks import PAUSE, Disturbance
from quarantine.rules.stays import PolicyValues

_ENDS = (CourseStep.Kind.CLEARED, CourseStep.Kind.ABANDONED)


def disturbances_at(
    vessel_ids: Collection[UUID], policy: PolicyValues, *, at: datetime
) -> list[Disturbance]:
    """What befell these vessels, with what the policy says it does to the clock."""
    return [
        *_treatments(vessel_ids, policy, at),
        *_deaths(vessel_ids, policy, at),
        *_pathogens(vessel_ids, policy, at),
    ]


def unexplained_deaths(*, at: datetime) -> QuerySet[Death]:
    """Deaths of which no cause was known by then, neither at once nor by necropsy."""
    opened = Necropsy.objects.current().exclude(cause=Cause.UNKNOWN)
    opened = opened.filter(death=OuterRef("pk"), happened_at__lte=at)
    rows = Death.objects.current().filter(happened_at__lte=at, is_explained=False)
    return rows.exclude(Exists(opened))


def _treatments(
    vessel_ids: Collection[UUID], policy: PolicyValues, at: datetime
) -> Iterator[Disturbance]:
    rows = Course.objects.current().filter(vessel__in=vessel_ids, happened_at__lte=at)
    steps = CourseStep.objects.current().filter(kind__in=_ENDS, happened_at__lte=at)
    ends = dict(
        steps.filter(course__in=rows)
        .order_by("-happened_at", "pk")
        .values_list("course", "happened_at")
    )
    for row in rows.select_related("agent", "vessel").order_by("happened_at", "pk"):
        yield Disturbance(
            at=row.happened_at,
            vessel=row.vessel_id,
            course=policy.on_treatment,
            told=f"course of {row.agent.name} in {row.vessel.code}",
            until=ends.get(row.pk),
            row=row.pk,
        )


def _deaths(
    vessel_ids: Collection[UUID], policy: PolicyValues, at: datetime
) -> Iterator[Disturbance]:
    rows = unexplained_deaths(at=at).filter(change__from_vessel__in=vessel_ids)
    quiet = timedelta(days=policy.quiet_days if policy.on_death == PAUSE else 0)
    for row in rows.select_related("change__from_lot", "change__from_vessel").order_by("pk"):
        lot, vessel = row.change.from_lot, row.change.from_vessel
        if lot is not None and vessel is not None:
            yield Disturbance(
                at=row.happened_at,
                vessel=vessel.pk,
                course=policy.on_death,
                told=f"unexplained death of {lot.code} in {vessel.code}",
                until=row.happened_at + quiet,
                row=row.pk,
            )


def _pathogens(
    vessel_ids: Collection[UUID], policy: PolicyValues, at: datetime
) -> Iterator[Disturbance]:
    """A pause lasts until the same agent is looked for again and not found."""
    rows = Finding.objects.current().filter(happened_at__lte=at).order_by("happened_at", "pk")
    known = list(rows.filter(result__in=["POSITIVE", "NEGATIVE"]).select_related("lot"))
    for row in known:
        if row.result == Finding.Result.POSITIVE:
            until = _looked_for_again(row, known) if policy.on_pathogen == PAUSE else None
            for vessel in _where(row, vessel_ids):
                yield Disturbance(
                    at=row.happened_at,
                    vessel=vessel,
                    course=policy.on_pathogen,
                    told=f"{row.agent} found",
                    until=until if policy.on_pathogen == PAUSE else row.happened_at,
                    row=row.pk,
                )


def _looked_for_again(found: Finding, known: list[Finding]) -> datetime | None:
    return next(
        (
            row.happened_at
            for row in known
            if row.result == Finding.Result.NEGATIVE
            and row.happened_at > found.happened_at
            and row.agent.casefold() == found.agent.casefold()
            and (row.lot_id, row.vessel_id) == (found.lot_id, found.vessel_id)
        ),
        None,
    )


def _where(found: Finding, vessel_ids: Collection[UUID]) -> set[UUID]:
    if found.vessel_id is not None:
        return {found.vessel_id} & set(vessel_ids)
    held = held_by(found.lot, at=found.happened_at) if found.lot else {}
    return set(held) & set(vessel_ids)
