"""Builders of courses of treatment, each step through its command.

Vera orders, Ana measures out and reads, Mo works it out a second time; 400 L of sea water.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any, Final
from uuid import uuid4

from facility.models import Person
from quarantine.commands.agents import AdoptAgents, adopt_agents
from quarantine.commands.computations import ComputeDose, compute_dose
from quarantine.commands.containers import (
    RecordTrial,
    ShelveContainer,
    record_trial,
    shelve_container,
)
from quarantine.commands.courses import OpenCourse, open_course
from quarantine.commands.levels import ReadLevel, read_level
from quarantine.commands.overrides import OverrideGuard
from quarantine.commands.treatment_doses import EndBath, GiveDose, give_dose
from quarantine.commands.treatment_orders import OrderTreatment, order_treatment
from quarantine.models import Container, Course, LevelReading, TreatmentDose, TreatmentOrder, Trial
from quarantine.queries.courses import CourseStanding, standing
from tanks.models import Method, Vessel
from tanks.queries.waters import water_of
from tests.cast import NOON, House
from tests.tanks.estate import measured, vessel_of
from tests.tanks.samples import kit, logged

HOUR: Final = timedelta(hours=1)
DAY: Final = timedelta(days=1)
MEANING: Final = "I order this treatment."
LABELS: Final = {
    "COPPER_FREE": ("CUSO4_5H2O", "100"),
    "FORMALIN": ("FORMALIN_37", "37"),
    "METHYLENE_BLUE": ("METHYLENE_BLUE_STOCK", "10"),
    "SODIUM_CHLORIDE": ("NACL", "100"),
    "HYDROGEN_PEROXIDE": ("H2O2", "396.1"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A course with its house, ready for its first dose."""

    house: House
    vessel: Vessel
    container: Container
    course: Course

    def stands(self, *, at: datetime) -> CourseStanding:
        return standing(Course.objects.get(pk=self.course.pk), at=at)


def agents_in(house: House, *, at: datetime = NOON) -> None:
    adopt_agents(AdoptAgents(id=uuid4(), site_id=house.site.pk), by=house.mo, at=at)


def tank_of(
    house: House, *, code: str = "Q-01", litres: str = "400", at: datetime = NOON
) -> Vessel:
    """A measured tank with an alkalinity and a temperature of today."""
    vessel = vessel_of(house, code=code, at=at)
    measured(house, vessel, litres=litres, at=at)
    read_water(house, vessel, at=at)
    return vessel


def read_water(house: House, vessel: Vessel, *, at: datetime = NOON) -> None:
    for parameter, text in (("ALKALINITY", "2.4"), ("TEMPERATURE", "25"), ("OXYGEN", "7")):
        known = Method.objects.filter(site=house.site, parameter=parameter).first()
        logged(house, vessel, known or kit(house, parameter), text, at=at)


def container_command(house: House, agent: str = "COPPER_FREE", **changes: Any) -> ShelveContainer:
    form, label = LABELS[agent]
    command = ShelveContainer(
        id=uuid4(),
        site_id=house.site.pk,
        agent_code=agent,
        name=f"{agent.capitalize().replace('_', ' ')} tub",
        form=form,
        label_strength=Decimal(label),
        batch="K-204",
        expires_on=date(2027, 6, 1),
        coldest_c=Decimal(12),
    )
    return replace(command, **changes)


def shelved_container(
    house: House, agent: str = "COPPER_FREE", *, at: datetime = NOON, **changes: Any
) -> Container:
    return shelve_container(container_command(house, agent, **changes), by=house.ana, at=at)


def trial_of(container: Container, *, at: datetime = NOON, **changes: Any) -> RecordTrial:
    command = RecordTrial(
        id=uuid4(),
        container_id=container.pk,
        species="Danio rerio",
        count=3,
        concentration=Decimal(200),
        watched_h=Decimal(24),
        was_harmed=False,
        happened_at=at,
    )
    return replace(command, **changes)


def tried(house: House, container: Container, *, at: datetime = NOON) -> Trial:
    return record_trial(trial_of(container, at=at), by=house.ana, at=at)


def order_of(
    vessel: Vessel, agent: str = "COPPER_FREE", *, at: datetime = NOON, **changes: Any
) -> OrderTreatment:
    low, high = {"COPPER_FREE": ("0.15", "0.20"), "FORMALIN": ("150", "250")}.get(
        agent, ("1", "3000")
    )
    command = OrderTreatment(
        id=uuid4(),
        vessel_id=vessel.pk,
        agent_code=agent,
        licence="OMV 4471",
        condition="Marine white spot",
        species="Amphiprion ocellaris",
        count=30,
        low=Decimal(low),
        high=Decimal(high),
        duration_days=Decimal(14),
        withdrawal_days=0,
        valid_until=at + 30 * DAY,
        meaning=MEANING,
        minutes=60 if agent == "FORMALIN" else None,
    )
    return replace(command, **changes)


def ordered(
    house: House, vessel: Vessel, agent: str = "COPPER_FREE", *, at: datetime = NOON
) -> TreatmentOrder:
    return order_treatment(order_of(vessel, agent, at=at), by=house.vera, at=at)


def course_command(
    vessel: Vessel,
    order: TreatmentOrder | None,
    agent: str = "COPPER_FREE",
    *,
    at: datetime = NOON,
    target: str = "0.18",
) -> OpenCourse:
    return OpenCourse(
        id=uuid4(),
        vessel_id=vessel.pk,
        agent_code=agent,
        why="Marine white spot seen on two",
        target=Decimal(target),
        happened_at=at,
        order_id=order.pk if order else None,
    )


def told_course(
    house: House,
    agent: str = "COPPER_FREE",
    *,
    at: datetime = NOON,
    target: str = "0.18",
    vessel: Vessel | None = None,
) -> Told:
    """An order, a container and an open course, nothing given yet."""
    agents_in(house, at=at)
    tank = vessel or tank_of(house, at=at)
    container = shelved_container(house, agent, at=at)
    order = ordered(house, tank, agent, at=at)
    command = course_command(tank, order, agent, at=at, target=target)
    course = open_course(command, by=house.ana, at=at)
    return Told(house=house, vessel=tank, container=container, course=course)


def dose_of(told: Told, *, at: datetime = NOON, rise: str = "0.18", **changes: Any) -> GiveDose:
    """The right amount for the rise in the water as it is; first dose unless told otherwise."""
    water = water_of(told.vessel, at=at)
    litres = Decimal(repr(water.litres))
    command = GiveDose(
        id=uuid4(),
        course_id=told.course.pk,
        container_id=told.container.pk,
        intent="START",
        rise=Decimal(rise),
        amount=(Decimal(rise) * litres / told.container.strength).quantize(Decimal("0.001")),
        seen_members=water.member_ids,
        seen_litres=litres,
        happened_at=at,
    )
    return replace(command, **changes)


def second_of(told: Told, dose: GiveDose, **changes: Any) -> ComputeDose:
    command = ComputeDose(
        id=uuid4(),
        course_id=told.course.pk,
        container_id=dose.container_id,
        rise=dose.rise,
        litres=dose.seen_litres,
        amount=dose.amount,
        happened_at=dose.happened_at,
    )
    return replace(command, **changes)


def computed_by(told: Told, dose: GiveDose, by: Person, **changes: Any) -> None:
    compute_dose(second_of(told, dose, **changes), by=by, at=dose.happened_at)


def given(told: Told, *, at: datetime = NOON, rise: str = "0.18", **changes: Any) -> TreatmentDose:
    """A dose by Ana that Mo worked out too."""
    dose = dose_of(told, at=at, rise=rise, **changes)
    computed_by(told, dose, told.house.mo)
    return give_dose(dose, by=told.house.ana, at=at)


def level_of(told: Told, text: str, *, at: datetime, **changes: Any) -> ReadLevel:
    command = ReadLevel(
        id=uuid4(),
        course_id=told.course.pk,
        text=text,
        method="Copper photometer",
        happened_at=at,
    )
    return replace(command, **changes)


def level_read(told: Told, text: str, *, at: datetime) -> LevelReading:
    return read_level(level_of(told, text, at=at), by=told.house.ana, at=at)


def override_of(dose: GiveDose, giver: Person, stop: str, **changes: Any) -> OverrideGuard:
    command = OverrideGuard(
        id=uuid4(),
        dose_id=dose.id,
        giver_id=giver.pk,
        stop=stop,
        why="The only batch to be had today; opened in front of me.",
        course_id=dose.course_id,
        container_id=dose.container_id,
        intent=dose.intent,
        rise=dose.rise,
        amount=dose.amount,
        seen_members=dose.seen_members,
        seen_litres=dose.seen_litres,
        happened_at=dose.happened_at,
        minutes=dose.minutes,
    )
    return replace(command, **changes)


def bath_end_of(dose: TreatmentDose, *, at: datetime) -> EndBath:
    return EndBath(id=uuid4(), dose_id=dose.pk, happened_at=at)
