"""What is known of animals that are to leave quarantine, gathered for the rule."""

from collections.abc import Iterator
from datetime import datetime

from django.db.models import Q
from django.urls import reverse

from quarantine.models import (
    SIGNS,
    Course,
    CourseStep,
    Death,
    Finding,
    Hold,
    Lot,
    Observation,
    SpeciesSheet,
)
from quarantine.models.deaths import Cause
from quarantine.queries.clocks import waiting_of
from quarantine.queries.holds import holds_on, subject_of
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.clocks import Clock, Stay
from quarantine.rules.release import Leaving, Look, Treated
from quarantine.rules.stay_defaults import is_abroad
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of
from tanks.rules.requirements import Evidence

_GOOD_BREATH = (Observation.Respiration.CALM, Observation.Respiration.NOT_JUDGED)
_MOST_LOOKS = 30


def leaving(lot: Lot, vessel: Vessel, *, wanted: int, at: datetime) -> Leaving:
    """Gather everything a release of this lot from this vessel asks about."""
    water = water_of(vessel, at=at)
    policy = stay_rules_at(lot.site, at=at).policy
    waiting = next(iter(waiting_of(lot, [vessel], at=at)), None)
    stay = waiting.stay if waiting else Stay(lot=lot.pk, vessel=vessel.pk, count=0)
    never = Clock(since=None, ends_at=None, binding=None)
    return Leaving(
        zone=lot.site.zone,
        policy=policy,
        count=stay.count,
        wanted=wanted,
        clock=waiting.clock if waiting else never,
        is_settled=stay.is_settled,
        asked=waiting.asked if waiting else (),
        holds=tuple(map(held, holds_on(lot=lot, vessel_ids=water.member_ids, at=at))),
        courses=tuple(_courses(stay, water)),
        deaths_at=tuple(_deaths(lot, stay, at)),
        looks=tuple(_looks(lot, vessel, at)),
        awaited=tuple(_results(lot, water, [Finding.Result.PENDING])),
        found=tuple(_open_findings(lot, water)),
        papers_wanted=_papers_wanted(lot, at),
        papers=tuple(_papers(lot)),
    )


def held(hold: Hold) -> Evidence:
    words = f"{subject_of(hold)}, {hold.get_kind_display().lower()}: {hold.why}"
    return Evidence(words, reverse("quarantine:hold", args=[hold.pk]))


def _courses(stay: Stay, water: Water) -> Iterator[Treated]:
    """Those that reached these animals, wherever they were then."""
    ids = {one.row for one in stay.disturbances}
    rows = Course.objects.current().filter(Q(pk__in=ids) | Q(vessel__in=water.member_ids))
    rows = rows.filter(happened_at__lte=water.at).select_related("agent", "vessel")
    steps = CourseStep.objects.current().filter(happened_at__lte=water.at, course__in=rows)
    kinds: dict[object, dict[str, datetime]] = {}
    for step in steps.order_by("happened_at", "pk"):
        kinds.setdefault(step.course_id, {})[step.kind] = step.happened_at
    for row in rows.order_by("happened_at", "pk"):
        ends = kinds.get(row.pk, {})
        cleared_at = ends.get(CourseStep.Kind.CLEARED)
        yield Treated(
            name=f"{row.agent.name} in {row.vessel.code}",
            ended_at=cleared_at or ends.get(CourseStep.Kind.ABANDONED),
            cleared_at=cleared_at,
        )


def _deaths(lot: Lot, stay: Stay, at: datetime) -> Iterator[datetime]:
    """Deaths of the lot, and deaths nobody explained in the water they shared."""
    ids = {one.row for one in stay.disturbances}
    rows = Death.objects.current().filter(Q(change__from_lot=lot) | Q(pk__in=ids))
    rows = rows.filter(happened_at__lte=at).exclude(cause=Cause.TEST)
    yield from rows.order_by("happened_at", "pk").values_list("happened_at", flat=True)


def _looks(lot: Lot, vessel: Vessel, at: datetime) -> Iterator[Look]:
    rows = Observation.objects.current().filter(
        Q(lot=None) | Q(lot=lot),
        vessel=vessel,
        happened_at__gte=lot.acquired_at,
        happened_at__lte=at,
    )
    latest = rows.order_by("-happened_at", "-recorded_at", "pk")[:_MOST_LOOKS]
    for row in reversed(latest):
        is_offered = row.feeding != Observation.Feeding.NOT_OFFERED
        yield Look(
            at=row.happened_at,
            ate=row.feeding == Observation.Feeding.ATE if is_offered else None,
            has_signs=bool(row.signs) or row.respiration not in _GOOD_BREATH,
            told=_seen(row),
        )


def _seen(row: Observation) -> str:
    signs = [SIGNS[sign].lower() for sign in row.signs] or ["no clinical signs seen"]
    feeding, breath = row.get_feeding_display(), row.get_respiration_display()
    return f"{feeding.lower()}; breathing {breath.lower()}; {', '.join(signs)}"


def _results(lot: Lot, water: Water, results: list[str]) -> Iterator[str]:
    for row in _findings(lot, water):
        if row.result in results:
            yield row.agent


def _open_findings(lot: Lot, water: Water) -> Iterator[str]:
    """What was found, or may have been, and was not looked for and missed since."""
    latest: dict[str, Finding] = {}
    for row in _findings(lot, water):
        if row.result != Finding.Result.PENDING:
            latest[row.agent.casefold()] = row
    for row in latest.values():
        if row.result != Finding.Result.NEGATIVE:
            yield row.agent


def _findings(lot: Lot, water: Water) -> list[Finding]:
    rows = Finding.objects.current().filter(Q(lot=lot) | Q(vessel__in=water.member_ids))
    rows = rows.filter(happened_at__gte=lot.acquired_at, happened_at__lte=water.at)
    return list(rows.order_by("happened_at", "recorded_at", "pk"))


def _papers_wanted(lot: Lot, at: datetime) -> str:
    sheets = SpeciesSheet.objects.filter(species=lot.species_id, period__contains=at)
    needs = sheets.exclude(permit_needs="").order_by("pk").first()
    if needs:
        return f"The species' sheet asks for: {needs.permit_needs}."
    origin = lot.consignment.origin_country if lot.consignment else ""
    is_foreign = is_abroad(origin, lot.site.jurisdiction)
    return f"They came from another country ({origin})." if is_foreign else ""


def _papers(lot: Lot) -> Iterator[str]:
    for paper in lot.consignment.papers if lot.consignment else ():
        until = f", valid until {paper['valid_until']}" if paper.get("valid_until") else ""
        yield f"{paper.get('kind', 'Paper')} {paper.get('number', '')}{until}"
