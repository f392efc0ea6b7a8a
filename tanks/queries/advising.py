"""What to do next about a start-up, and why: each step with the act that does it."""

from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import urlencode

from django.urls import reverse

from facility.rules.wording import day_and_time, written
from tanks.models import Device
from tanks.queries.cycles import Course
from tanks.rules.plans import TESTS
from tanks.rules.requirements import MET, UNKNOWN, Requirement
from tanks.rules.values import PARAMETERS

_AIMS: Final = ("mg/L-N", "meq/L")
_OFTEN: Final = {1: "daily", 2: "every second day", 7: "weekly"}
# What the step is called, the word on its button, and where that leads.
_STEPS: Final = {
    "dose": ("Dose ammonia", "Dose ammonia", "tanks:log-dose", "AMMONIA"),
    "challenge": ("Challenge the filter", "Dose the challenge", "tanks:log-dose", "CHALLENGE"),
    "buffer": ("Raise alkalinity", "Raise alkalinity", "tanks:log-dose", "ALKALINITY"),
    "water_change": ("Change water", "Change water", "tanks:log-water-change", ""),
    "retest": ("Read again", "Log readings", "tanks:log-readings", ""),
    "wait": ("Wait", "Log readings", "tanks:log-readings", ""),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    label: str
    url: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstStep:
    """A requirement, and the act that would prove it."""

    requirement: Requirement
    act: Act | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """The next thing to do and why; ``amount`` with its unit, where there is one."""

    title: str
    amount: str
    why: str
    act: Act


def first_steps(told: Course) -> list[FirstStep]:
    """Return the preparation, each line with the act that would prove it."""
    devices = {device.name: device for device in told.story.devices if device.removed_at is None}
    return [
        FirstStep(requirement=line, act=_proving(told, line, devices))
        for line in told.preparation()
    ]


def tests() -> list[tuple[str, str, str]]:
    """Return what to read, how often and why."""
    return [(PARAMETERS[one.parameter], _OFTEN.get(one.every_days, ""), one.why) for one in TESTS]


def advised(told: Course, step: dict[str, Any]) -> Advice:
    """Return the step of a forecast made from the present facts."""
    aim = step["amount"] if step["unit"] in _AIMS else None
    return _advice(told, step["kind"], amount=_amount(step), why=step["why"], aim=aim)


def by_rule(told: Course) -> Advice:
    """Return the step of the plain rule, which needs no forecast and sees every dose at once."""
    redose = told.redose
    if redose.state == MET:
        amount = f"{written(redose.amount_mg_l_n)} mg/L-N"
        return _advice(told, "dose", amount=amount, why=redose.sentence, aim=redose.amount_mg_l_n)
    if redose.state == UNKNOWN and not told.ammonia_doses:
        return _prepare(told)
    kind = "retest" if redose.state == UNKNOWN else "wait"
    return _advice(told, kind, why=redose.sentence)


def keep_fed(told: Course) -> Advice:
    """A proven filter has one enemy that nobody notices: an empty table."""
    lapses_at = day_and_time(told.lapses_at or told.at, zone=told.cycle.vessel.site.zone)
    why = f"The certified feed lapses {lapses_at} if nothing is fed."
    return _advice(told, "dose", title="Keep the filter fed", amount="daily", why=why)


def _prepare(told: Course) -> Advice:
    """Before the first dose there is a list to work through; the plan holds it."""
    return Advice(
        title="Prepare, seed and give the first ammonia dose",
        amount="",
        why="No ammonia has been dosed yet. The plan says what is still to be done, and how much.",
        act=Act(label="Open the plan", url=reverse("tanks:plan", args=[told.cycle.pk])),
    )


def _advice(
    told: Course,
    kind: str,
    *,
    why: str,
    amount: str = "",
    aim: float | None = None,
    title: str = "",
) -> Advice:
    usual, label, name, purpose = _STEPS[kind]
    asked = {"purpose": purpose} | ({"target": f"{aim:g}"} if aim else {})
    query = f"?{urlencode(asked)}" if purpose else ""
    url = reverse(name, args=[told.cycle.vessel_id]) + query
    return Advice(title=title or usual, amount=amount, why=why, act=Act(label=label, url=url))


def _proving(told: Course, line: Requirement, devices: dict[str, Device]) -> Act | None:
    vessel = told.cycle.vessel
    if line.state == "met" or line.code == "devices-off":
        return None
    if line.code == "volume-known":
        unmeasured = told.story.water.unmeasured
        first = unmeasured[0] if unmeasured else vessel
        url = reverse("tanks:measure-volume", args=[first.pk])
        return Act(label=f"Measure {first.code}", url=url)
    if line.code.startswith("off-"):
        device = devices.get(line.title.removesuffix(" off"))
        if device is None:
            return None
        url = reverse("tanks:switch-device", args=[device.pk])
        return Act(label="Switch it off", url=url)
    return Act(label="Log readings", url=reverse("tanks:log-readings", args=[vessel.pk]))


def _amount(step: dict[str, Any]) -> str:
    amount, unit = step["amount"], step["unit"]
    if amount is None:
        return ""
    if unit == "fraction":
        return f"{amount:.0%}"
    if unit == "d":
        return "a day"
    return f"{written(float(amount))} {unit}"
