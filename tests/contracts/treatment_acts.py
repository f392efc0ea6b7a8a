"""Examples of what is done to treat animals, at ``AT``."""

from decimal import Decimal
from uuid import uuid4

from facility.commands.places import open_site
from facility.models import Membership
from quarantine.commands.agents import AdoptAgents, SetAgent
from quarantine.commands.computations import ComputeDose
from quarantine.commands.containers import RecordTrial, RetireContainer, ShelveContainer
from quarantine.commands.course_ends import (
    AbandonCourse,
    BeginClearance,
    ConfirmClear,
    begin_clearance,
)
from quarantine.commands.courses import OpenCourse
from quarantine.commands.levels import ReadLevel
from quarantine.commands.overrides import OverrideGuard
from quarantine.commands.treatment_doses import EndBath, GiveDose
from quarantine.commands.treatment_orders import OrderTreatment
from quarantine.models import Agent
from tests.cast import House
from tests.contracts.place_acts import to_open_site
from tests.quarantine.ready import AT
from tests.quarantine.treating import (
    agents_in,
    bath_end_of,
    computed_by,
    container_command,
    course_command,
    dose_of,
    given,
    level_of,
    order_of,
    ordered,
    override_of,
    second_of,
    shelved_container,
    tank_of,
    told_course,
    trial_of,
    tried,
)


def to_adopt_agents(house: House) -> AdoptAgents:
    bare = open_site(to_open_site(house), by=house.mo, at=AT)
    Membership.objects.create(person=house.hale, site=bare, role="AUDITOR", since=AT)
    return AdoptAgents(id=uuid4(), site_id=bare.pk)


def to_set_agent(house: House) -> SetAgent:
    agents_in(house, at=AT)
    return SetAgent(
        id=uuid4(),
        agent_id=Agent.objects.get(site=house.site, code="COPPER_FREE").pk,
        low=Decimal("0.15"),
        high=Decimal("0.18"),
        clock_days=Decimal(14),
        readings_in_row=2,
        out_of_window="RESET",
        longest_gap_h=Decimal(36),
        clear_below=Decimal("0.01"),
        takes_order=True,
        takes_second=True,
        takes_trial=True,
        source="decided here with the veterinarian",
    )


def to_shelve_container(house: House) -> ShelveContainer:
    agents_in(house, at=AT)
    return container_command(house)


def to_retire_container(house: House) -> RetireContainer:
    agents_in(house, at=AT)
    return RetireContainer(container_id=shelved_container(house, at=AT).pk, happened_at=AT)


def to_record_trial(house: House) -> RecordTrial:
    agents_in(house, at=AT)
    return trial_of(shelved_container(house, at=AT), at=AT, note="Ate the next morning")


def to_order_treatment(house: House) -> OrderTreatment:
    agents_in(house, at=AT)
    return order_of(tank_of(house, at=AT), at=AT)


def to_open_course(house: House) -> OpenCourse:
    agents_in(house, at=AT)
    tank = tank_of(house, at=AT)
    return course_command(tank, ordered(house, tank, at=AT), at=AT)


def to_give_dose(house: House) -> GiveDose:
    told = told_course(house, at=AT)
    dose = dose_of(told, at=AT)
    computed_by(told, dose, house.mo)
    return dose


def to_end_bath(house: House) -> EndBath:
    told = told_course(house, "FORMALIN", at=AT, target="200")
    tried(house, told.container, at=AT)
    dose = given(told, at=AT, rise="200", intent="BATH", minutes=30)
    return bath_end_of(dose, at=AT)


def to_read_level(house: House) -> ReadLevel:
    return level_of(told_course(house, at=AT), "0.16", at=AT)


def to_compute_dose(house: House) -> ComputeDose:
    told = told_course(house, at=AT)
    return second_of(told, dose_of(told, at=AT))


def to_override_guard(house: House) -> OverrideGuard:
    return override_of(dose_of(told_course(house, at=AT), at=AT), house.ana, "second-missing")


def to_begin_clearance(house: House) -> BeginClearance:
    told = told_course(house, "FORMALIN", at=AT, target="200")
    return BeginClearance(id=uuid4(), course_id=told.course.pk, happened_at=AT, note="Three baths")


def to_confirm_clear(house: House) -> ConfirmClear:
    told = told_course(house, "FORMALIN", at=AT, target="200")
    begun = BeginClearance(id=uuid4(), course_id=told.course.pk, happened_at=AT)
    begin_clearance(begun, by=house.ana, at=AT)
    return ConfirmClear(id=uuid4(), course_id=told.course.pk, happened_at=AT, note="Flushed")


def to_abandon_course(house: House) -> AbandonCourse:
    told = told_course(house, at=AT)
    return AbandonCourse(id=uuid4(), course_id=told.course.pk, happened_at=AT, note="Fish gasp")
