"""Open a course of treatment on the water as it is."""

from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, Final
from uuid import UUID

from django.db import transaction

from facility.commands import ledger
from facility.commands.deliveries import earlier, require_past, take_turn
from facility.models import Fact, Person
from facility.queries import people
from facility.refusals import NotFound, Refusal
from quarantine.models import Agent, Course, TreatmentOrder
from quarantine.queries.agents import agent_at
from quarantine.queries.course_events import related
from quarantine.queries.courses import binding_in, standing
from tanks.commands.finding import require_in_use, vessel_for
from tanks.commands.litres import net_litres, water_then
from tanks.models import Vessel
from tanks.queries.waters import Water


class UnknownAgent(Refusal):
    code = "unknown-agent"
    field = "agent_code"


class OrderMissing(Refusal):
    code = "order-missing"
    field = "order_id"


class OrderUnfit(Refusal):
    code = "order-unfit"
    field = "order_id"


class TargetOffWindow(Refusal):
    code = "target-off-window"
    field = "target"


class WhyMissing(Refusal):
    code = "why-missing"
    field = "why"


class CourseRunning(Refusal):
    code = "course-running"
    field = "agent_code"


class CourseEnded(Refusal):
    code = "course-ended"
    field = "course_id"


class BeforeCourse(Refusal):
    code = "before-course"
    field = "happened_at"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCourse:
    """Treats the water that holds the vessel at ``happened_at``, all of it, to ``target``."""

    id: UUID
    vessel_id: UUID
    agent_code: str
    why: str
    target: Decimal
    happened_at: datetime
    order_id: UUID | None = None


@transaction.atomic(durable=True)
def open_course(command: OpenCourse, *, by: Person, at: datetime) -> Course:
    """Open a course on the water as it is, with the window of the order or of the agent.

    Raises:
        NotFound, NotAllowed, IdTaken, InTheFuture, VesselRetired, NotYetThere, VolumeUnknown,
        UnknownAgent, WhyMissing, OrderMissing, OrderUnfit, TargetOffWindow, CourseRunning
    """
    vessel = vessel_for(by, command.vessel_id, deed="quarantine.open-course")
    columns = _columns(command)
    if course := earlier(Course, command.id, columns):
        return course
    require_past(command.happened_at, at=at)
    require_in_use(vessel, at=command.happened_at)
    agent = agent_at(vessel.site, command.agent_code, at=at)
    if agent is None:
        raise UnknownAgent("Choose an agent this site uses; a manager adopts them.")
    if not columns["why"]:
        raise WhyMissing("Say in a few words what is treated.")
    water = water_then(vessel, at=command.happened_at)
    litres = net_litres(water)
    order = _order(command, agent, water, at=at)
    _require_none_running(agent, water)
    course = Course.objects.create(
        **columns,
        **_window(command, agent, order),
        agent=agent,
        members=sorted(str(pk) for pk in water.member_ids),
        water_litres=litres,
        recorded_at=at,
        by=by,
    )
    record("quarantine.open-course", course, course, by=by, at=at)
    return course


def course_for(by: Person, course_id: UUID, *, deed: str) -> Course:
    """Return the course, with the turn taken at its site.

    Raises:
        NotFound, NotAllowed
    """
    rows = Course.objects.current().filter(vessel__in=Vessel.objects.open_to(by))
    course: Course | None = related(rows).filter(pk=course_id).first()
    if course is None:
        raise NotFound("There is no such course here.")
    people.require(by, deed, course.vessel.site)
    take_turn(course.vessel.site)
    return course


def require_since(course: Course, happened_at: datetime) -> None:
    """Refuse what is said to have happened before the course; moments are typed to the minute."""
    if happened_at < course.happened_at.replace(second=0, microsecond=0):
        local = course.happened_at.astimezone(course.vessel.site.zone)
        raise BeforeCourse(f"The course was opened on {local:%d %B %Y, %H:%M}; give a later time.")


def require_open(course: Course, *, at: datetime) -> None:
    """Refuse what only an open course takes."""
    stands = standing(course, at=at)
    if not stands.is_open:
        raise CourseEnded(stands.sentence)
    if stands.is_clearing:
        raise CourseEnded(f"{stands.sentence} Nothing more is given; open a new course if need be.")


def record(kind: str, row: Fact, course: Course, *, by: Person, at: datetime) -> None:
    ledger.record(
        kind,
        [row],
        about=course.vessel,
        site=course.vessel.site,
        by=by,
        happened_at=row.happened_at,
        recorded_at=at,
    )


_STEP: Final = Decimal("0.0001")


def _columns(command: OpenCourse) -> dict[str, Any]:
    columns = asdict(command)
    del columns["agent_code"]
    return columns | {"why": command.why.strip(), "target": command.target.quantize(_STEP)}


def _order(
    command: OpenCourse, agent: Agent, water: Water, *, at: datetime
) -> TreatmentOrder | None:
    if command.order_id is None:
        if agent.takes_order:
            raise OrderMissing(
                f"{agent.name} is given here only on the order of a licensed veterinarian."
            )
        return None
    rows = TreatmentOrder.objects.current().filter(vessel__in=water.member_ids)
    order: TreatmentOrder | None = (
        rows.select_related("agent").filter(pk=command.order_id, happened_at__lte=at).first()
    )
    if order is None or order.agent.code != agent.code or order.valid_until < at:
        raise OrderUnfit(f"Choose an order for {agent.name} and for this water that still holds.")
    return order


def _window(command: OpenCourse, agent: Agent, order: TreatmentOrder | None) -> dict[str, Any]:
    """The order's dosage; without an order, the agent's window."""
    low, high = (order.low, order.high) if order else (agent.low, agent.high)
    if low is None or high is None:
        raise OrderMissing(f"{agent.name} has no window of its own here: it takes an order.")
    if not low <= command.target.quantize(_STEP) <= high:
        raise TargetOffWindow(
            f"Aim from {low.normalize():f} to {high.normalize():f} {agent.unit}, "
            f"counted as {agent.counted_as}."
        )
    return {"low": low, "high": high, "clock_days": agent.clock_days}


def _require_none_running(agent: Agent, water: Water) -> None:
    for one in binding_in(water.member_ids, water.at):
        if one.is_open and one.course.agent.code == agent.code:
            raise CourseRunning(f"{one.sentence} End it before another one is opened.")
