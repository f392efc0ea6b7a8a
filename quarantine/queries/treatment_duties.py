"""What courses leave to be done: levels to read, baths to end, and what others leave alone."""

from collections.abc import Collection, Iterator
from datetime import datetime
from uuid import UUID

from django.urls import reverse

from facility.models import Site
from facility.rules.wording import written
from facility.sockets.loose_ends import Loose
from facility.sockets.stop_list import Stop
from facility.sockets.work import Due
from quarantine.models import TreatmentDose
from quarantine.queries.course_events import history
from quarantine.queries.course_pages import to_restore
from quarantine.queries.courses import CourseStanding, binding_in, standing, uncleared_at
from quarantine.queries.treatment_signs import bath_ends_at, watch_of_standing
from quarantine.rules.treatment_watch import next_reading_at
from tanks.queries.waters import water_of
from tanks.rules.rounds import is_due
from tanks.sockets.remarks import Remark


def baths_running(site_id: UUID, at: datetime) -> Iterator[Loose]:
    for stands in _uncleared(site_id, at):
        if stands.running_bath is not None:
            yield _loose(stands, stands.running_bath, at)


def level_duties(site_id: UUID, at: datetime) -> Iterator[Due]:
    """Levels that are to be read today, or were to be."""
    for stands in _uncleared(site_id, at):
        vessel = stands.course.vessel
        water = water_of(vessel, at=at)
        due_at = next_reading_at(watch_of_standing(stands, water.member_ids))
        if due_at is not None and is_due(due_at, at=at, zone=vessel.site.zone):
            yield Due(
                key=f"quarantine.level:{stands.course.pk}:{due_at:%Y%m%d%H%M}",
                title=f"Read {stands.name} in {vessel.code}",
                why=stands.sentence,
                place=f"{vessel.area.name}, {vessel.name or vessel.code}",
                hygiene_rank=vessel.area.hygiene_rank,
                due_at=due_at,
                url=reverse("quarantine:read-level", args=[stands.course.pk]),
                vessel_ids=frozenset([vessel.pk]),
            )


def treatment_stops(site_id: UUID, at: datetime) -> Iterator[Stop]:
    for stands in _uncleared(site_id, at):
        vessel = stands.course.vessel
        yield Stop(
            key=f"quarantine.course:{stands.course.pk}",
            place=vessel.name or vessel.code,
            hygiene_rank=vessel.area.hygiene_rank,
            leave="Open no valve, change no water, turn no carbon or UV on, sell and move nothing",
            why=stands.sentence,
            ask="the veterinarian" if stands.course.order else "whoever is on call",
            url=reverse("quarantine:course", args=[stands.course.pk]),
        )


def treatment_remarks(vessel_ids: Collection[UUID], at: datetime) -> Iterator[Remark]:
    """What stands beside a tank, in writing: SI 2018/486, Schedule 3, paragraph 2(2)."""
    yield from (_remark(stands) for stands in binding_in(vessel_ids, at))


def treatments_today(site_id: UUID, at: datetime) -> Iterator[Remark]:
    yield from (_remark(stands) for stands in _uncleared(site_id, at))


def _remark(stands: CourseStanding) -> Remark:
    """With what a water change took, and the sheet that puts it back a tap away."""
    vessel = stands.course.vessel
    url = reverse("quarantine:course", args=[stands.course.pk])
    told = f"{stands.sentence} Nothing of this water is sold or moved."
    if rise := to_restore(history(stands.course, at=stands.at), stands):
        url = f"{reverse('quarantine:give-dose', args=[stands.course.pk])}?intent=REDOSE"
        unit = stands.course.agent.unit
        told = f"{told} Water was changed since: restore {written(rise)} {unit}."
    return Remark(
        key=f"quarantine.course:{stands.course.pk}",
        title="Under treatment" if stands.is_open else "Not cleared",
        sentence=told,
        place=vessel.name or vessel.code,
        url=url,
        stops=True,
    )


def _uncleared(site_id: UUID, at: datetime) -> list[CourseStanding]:
    site = Site.objects.get(pk=site_id)
    return [standing(course, at=at) for course in uncleared_at(site, at=at)]


def _loose(stands: CourseStanding, dose: TreatmentDose, at: datetime) -> Loose:
    vessel, ends_at = stands.course.vessel, bath_ends_at(dose)
    return Loose(
        key=f"quarantine.treatmentdose:{dose.pk}",
        kind="Bath running",
        what=f"Bath of {stands.name} in {vessel.code}",
        why=stands.course.why,
        owner_id=dose.by_id,
        owner_name=dose.by.full_name,
        since=dose.happened_at,
        due_back_at=ends_at,
        about=f"tanks.vessel:{vessel.pk}",
        place=vessel.name or vessel.code,
        hygiene_rank=vessel.area.hygiene_rank,
        url=reverse("quarantine:course", args=[stands.course.pk]),
        return_url=reverse("quarantine:end-bath", args=[dose.pk]),
        is_overdue=ends_at <= at,
    )
