"""Agents, containers, orders, courses of treatment, and the guard before every dose."""

from collections.abc import Callable
from typing import Any, Final
from uuid import UUID

from django.urls import reverse

from facility.jobs import follow
from facility.sockets.aftermath import Aftermath, aftermaths
from facility.sockets.deeds import KEEPERS, MANAGER, MANAGERS, SIGNERS, VETERINARIAN, Deed, deeds
from facility.sockets.loose_ends import LooseEndSource, loose_end_sources
from facility.sockets.menu import Group, MenuEntry, menu
from facility.sockets.stop_list import StopSource, stop_sources
from facility.sockets.work import TaskSource, task_sources
from quarantine.commands import (
    agents,
    computations,
    containers,
    course_ends,
    courses,
    levels,
    overrides,
    treatment_doses,
    treatment_orders,
)
from quarantine.queries.shelf_guard import shelf_stops
from quarantine.queries.treatment_duties import (
    baths_running,
    level_duties,
    treatment_remarks,
    treatment_stops,
    treatments_today,
)
from quarantine.queries.treatment_signs import treatment_signs
from tanks.jobs import keep_watch
from tanks.sockets.guarding import DoseGuard, dose_guards
from tanks.sockets.remarks import RemarkSource, remark_sources
from tanks.sockets.signs import SignSource, sign_sources
from tanks.sockets.ways import Way, ways


def _plug(
    command: type, give: Callable[..., Any], roles: frozenset[str], says: str, **more: bool
) -> None:
    name = f"quarantine.{give.__name__.replace('_', '-')}"
    deeds.plug(Deed(name=name, command=command, give=give, roles=roles, says=says, **more))


_plug(agents.AdoptAgents, agents.adopt_agents, MANAGERS, "adopted the shipped agents")
_plug(agents.SetAgent, agents.set_agent, MANAGERS, "set an agent's figures")
_plug(
    containers.ShelveContainer,
    containers.shelve_container,
    KEEPERS,
    "put a container of an agent on the shelf",
)
_plug(
    containers.RetireContainer,
    containers.retire_container,
    KEEPERS,
    "took a container of an agent off the shelf",
)
_plug(
    containers.RecordTrial,
    containers.record_trial,
    SIGNERS,
    "tried a container on a few animals",
    is_hands_on=True,
)
_plug(
    treatment_orders.OrderTreatment,
    treatment_orders.order_treatment,
    frozenset({VETERINARIAN}),
    "ordered a treatment",
    is_signature=True,
)
_plug(courses.OpenCourse, courses.open_course, SIGNERS, "opened a course of treatment")
_plug(
    treatment_doses.GiveDose,
    treatment_doses.give_dose,
    SIGNERS,
    "gave a dose of a treatment",
    is_hands_on=True,
)
_plug(
    treatment_doses.EndBath,
    treatment_doses.end_bath,
    SIGNERS,
    "ended a bath",
    is_hands_on=True,
)
_plug(
    levels.ReadLevel,
    levels.read_level,
    SIGNERS,
    "read the level of an agent",
    is_hands_on=True,
)
_plug(
    computations.ComputeDose,
    computations.compute_dose,
    SIGNERS,
    "worked a dose out as a second person",
)
_plug(
    overrides.OverrideGuard,
    overrides.override_guard,
    frozenset({MANAGER, VETERINARIAN}),
    "set a stop of the dose guard aside",
    is_signature=True,
)
_plug(
    course_ends.BeginClearance,
    course_ends.begin_clearance,
    SIGNERS,
    "began to clear a treatment",
)
_plug(course_ends.ConfirmClear, course_ends.confirm_clear, SIGNERS, "declared a course cleared")
_plug(course_ends.AbandonCourse, course_ends.abandon_course, SIGNERS, "abandoned a course")

dose_guards.plug(DoseGuard("quarantine.animals", shelf_stops))
loose_end_sources.plug(LooseEndSource(name="quarantine.baths", loose=baths_running))
task_sources.plug(TaskSource("quarantine.levels", level_duties))
stop_sources.plug(StopSource(name="quarantine.courses", stops=treatment_stops))
remark_sources.plug(
    RemarkSource(name="quarantine.courses", of_water=treatment_remarks, today=treatments_today)
)
sign_sources.plug(SignSource(name="quarantine.courses", signs=treatment_signs))
_MOVES_A_LEVEL: Final = frozenset(
    f"quarantine.{verb}"
    for verb in (
        "give-dose",
        "end-bath",
        "read-level",
        "begin-clearance",
        "confirm-clear",
        "abandon-course",
    )
)
aftermaths.plug(Aftermath("quarantine.watch-courses", _MOVES_A_LEVEL, keep_watch))
aftermaths.plug(Aftermath("quarantine.answer-tasks-of-courses", _MOVES_A_LEVEL, follow))


def _treat(vessel_id: UUID) -> str:
    return reverse("quarantine:treatment", args=[vessel_id])


ways.plug(Way("quarantine.treatment", "Treatment", _treat))
menu.plug(
    MenuEntry(
        name="quarantine.courses",
        label="Treatments",
        url_name="quarantine:courses",
        order=35,
        group=Group.ANIMALS,
    )
)
