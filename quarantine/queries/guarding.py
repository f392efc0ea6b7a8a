"""What the dose guard must know of a course, its water and a container at the moment of a dose."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Final
from uuid import UUID

from chemistry.domain import OutOfRange
from facility.rules.wording import day_and_time, written
from quarantine.models import (
    Agent,
    Container,
    Course,
    SecondComputation,
    SpeciesSheet,
    TreatmentDose,
    Trial,
)
from quarantine.queries.agents import barrier_of
from quarantine.queries.books import Held, lots_in
from quarantine.queries.course_events import history
from quarantine.rules.guard_facts import (
    Animals,
    Condition,
    Drum,
    Earlier,
    Ground,
    Ordered,
    Regime,
    Second,
)
from tanks.models import Reading
from tanks.queries.devices import running
from tanks.queries.readings import latest_in
from tanks.queries.waters import Water
from tanks.rules.values import Interval, oxygen_in

_ASKED: Final = ("TEMPERATURE", "OXYGEN", "ALKALINITY", "SALINITY")


def regime_for(course: Course) -> Regime:
    """The agent's figures with the window of this course."""
    return replace(
        regime_of(course.agent),
        low=None if course.low is None else float(course.low),
        high=None if course.high is None else float(course.high),
    )


def regime_of(agent: Agent) -> Regime:
    """The agent's figures as the guard reads them, without a window."""
    return Regime(
        code=agent.code,
        name=agent.name,
        unit=agent.unit,
        is_bath=agent.is_bath,
        takes_order=agent.takes_order,
        takes_second=agent.takes_second,
        takes_trial=agent.takes_trial,
        stored_above_c=None if agent.stored_above_c is None else float(agent.stored_above_c),
        devices_off=frozenset(agent.devices_off),
        barriers=tuple(barrier_of(row) for row in agent.stops.all()),
    )


def drum_for(container: Container, *, at: datetime) -> Drum:
    trials = list(Trial.objects.current().filter(container=container, happened_at__lte=at))
    latest = max(trials, key=lambda trial: (trial.happened_at, trial.recorded_at), default=None)
    return Drum(
        id=container.pk,
        name=container.name,
        agent=container.agent_code,
        form=container.form,
        strength=float(container.strength),
        unit=container.unit,
        expires_on=container.expires_on,
        coldest_c=None if container.coldest_c is None else float(container.coldest_c),
        is_retired=container.retired_at is not None and container.retired_at <= at,
        is_tried=latest is not None and not latest.was_harmed,
        was_harmful=latest is not None and latest.was_harmed,
    )


def ground_for(course: Course, water: Water) -> Ground:
    """Everything recorded of the course's water at the water's moment."""
    at, zone = water.at, water.anchor.site.zone
    past = history(course, at=at)
    level = past.level()
    return Ground(
        members=water.member_ids,
        litres=water.litres,
        course_members=frozenset(UUID(pk) for pk in course.members),
        today=at.astimezone(zone).date(),
        target=float(course.target),
        codes={vessel.pk: vessel.code for vessel in water.members},
        level_low=level.low,
        level_high=level.high,
        informed_at=past.informed_at(),
        animals=tuple(animals_of(lots_in(water.member_ids, at=at), at=at)),
        conditions=conditions_of(latest_in(water)),
        earlier=tuple(_earlier(dose) for dose in past.doses),
        seconds=tuple(_seconds(course)),
        order=_order(course),
        running={
            one.device.name: one.device.kind
            for one in running(water.member_ids, at=at)
            if one.is_on
        },
    )


def animals_of(held: Collection[Held], *, at: datetime) -> Iterable[Animals]:
    species = {one.lot.species_id for one in held}
    sheets = SpeciesSheet.objects.filter(species__in=species, period__contains=at)
    spared = {row.species_id: _spared(row) for row in sheets}
    for one in held:
        yield Animals(
            lot=one.lot.code,
            species=one.lot.species.scientific_name,
            group=one.lot.species.group,
            vessel=one.vessel.code,
            spared=spared.get(one.lot.species_id, {}),
        )


def conditions_of(latest: Mapping[str, Reading]) -> dict[str, Condition]:
    found = {name: _condition(latest[name]) for name in _ASKED if name in latest}
    oxygen = latest.get("OXYGEN")
    if oxygen is not None and oxygen.unit == "%":
        found["OXYGEN"] = _oxygen(oxygen, latest, found["OXYGEN"])
    return found


def _condition(reading: Reading) -> Condition:
    span = reading.interval
    return Condition(low=span.low, high=span.top, at=reading.happened_at)


def _oxygen(reading: Reading, latest: Mapping[str, Reading], anywhere: Condition) -> Condition:
    """Per cent say how many mg/L only together with temperature and salinity."""
    warmth, salt = latest.get("TEMPERATURE"), latest.get("SALINITY")
    if warmth is None or salt is None:
        return anywhere
    share = float(reading.value)
    try:
        mg_l = oxygen_in(
            Interval(share, share),
            temperature_c=warmth.interval.low,
            salinity_g_kg=salt.interval.low,
        )
    except OutOfRange:
        return anywhere
    return Condition(low=mg_l.low, high=mg_l.top, at=reading.happened_at)


def _spared(sheet: SpeciesSheet) -> dict[str, str]:
    return {str(one.get("agent", "")): str(one.get("why", "")) for one in sheet.stops}


def _earlier(dose: TreatmentDose) -> Earlier:
    zone = dose.course.vessel.site.zone
    moment = day_and_time(dose.happened_at, zone=zone)
    return Earlier(
        by=dose.by_id,
        by_name=dose.by.full_name,
        at=dose.happened_at,
        told=f"{dose.by.full_name} put {written(dose.amount)} {dose.unit} of "
        f"{dose.container.name} into this water on {moment}",
        intent=dose.intent,
        rise=float(dose.amount * dose.container.strength / dose.water_litres),
        drum=dose.container_id,
        drum_name=dose.container.name,
    )


def _seconds(course: Course) -> Iterable[Second]:
    rows = SecondComputation.objects.current().filter(course=course).select_related("by")
    for row in rows.order_by("happened_at", "pk"):
        yield Second(
            by=row.by_id,
            by_name=row.by.full_name,
            at=row.happened_at,
            drum=row.container_id,
            rise=float(row.rise),
            litres=float(row.litres),
            amount=float(row.amount),
        )


def _order(course: Course) -> Ordered | None:
    order = course.order
    if order is None:
        return None
    return Ordered(high=float(order.high), minutes=order.minutes, until=order.valid_until)
