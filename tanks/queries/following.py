"""What the page of a start-up says: stage, forecast, next step, proof, story."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import Any, Final

from django.urls import reverse

from facility.rules.wording import day_and_time, unit_and_basis, written
from facility.sockets.paper import Table
from tanks.models import Device, Forecast, Reading
from tanks.queries.cases import case_of
from tanks.queries.cycles import Course, latest_forecast, latest_forecasts
from tanks.queries.measures import written as reading_written
from tanks.queries.signing import Signable, signable
from tanks.queries.stories import standing
from tanks.queries.timelines import Told, timeline
from tanks.rules.outlooks import Cause, Window, causes, window, without_clock
from tanks.rules.plans import TESTS
from tanks.rules.requirements import Requirement
from tanks.rules.values import PARAMETERS

_PERCENT: Final = 100
_OFTEN: Final = {1: "daily", 2: "every second day", 7: "weekly"}
_ACTS: Final = {
    "dose": ("Dose ammonia", "tanks:log-dose", "?purpose=AMMONIA"),
    "challenge": ("Dose the challenge", "tanks:log-dose", "?purpose=CHALLENGE"),
    "buffer": ("Raise alkalinity", "tanks:log-dose", "?purpose=ALKALINITY"),
    "water_change": ("Change water", "tanks:log-water-change", ""),
    "retest": ("Log readings", "tanks:log-readings", ""),
    "wait": ("Log readings", "tanks:log-readings", ""),
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


@dataclass(frozen=True, kw_only=True)
class Followed:
    """One start-up as its page shows it; each part is worked out when asked for."""

    told: Course
    forecast: Forecast | None

    @property
    def day(self) -> int:
        return (self.told.at - self.told.cycle.started_at) // timedelta(days=1)

    @property
    def protein_percent(self) -> str:
        return written(self.told.cycle.protein_share * _PERCENT)

    @property
    def shown(self) -> str:
        """Which forecast is shown, or nothing while there is none."""
        return str(self.forecast.pk) if self.forecast else ""

    @cached_property
    def is_current(self) -> bool:
        """Whether the forecast was made from the facts as they are now known."""
        if self.forecast is None:
            return False
        case = case_of(self.told.cycle, at=self.told.at)
        return without_clock(self.forecast.case) == without_clock(case)

    @property
    def is_awaited(self) -> bool:
        """Whether a newer forecast is being made: there is something to make one from."""
        is_open = self.told.cycle.ended_at is None
        return is_open and bool(self.told.story.readings) and not self.is_current

    @property
    def as_planned(self) -> Window | None:
        return self._window("as_planned")

    @property
    def unbuffered(self) -> Window | None:
        return self._window("unbuffered")

    @property
    def sureness(self) -> str:
        return self.forecast.as_planned["sureness"] if self.forecast else ""

    @property
    def causes(self) -> list[Cause]:
        return causes(self.forecast.as_planned["causes"]) if self.forecast else []

    @property
    def advice(self) -> Advice | None:
        if self.told.cycle.ended_at is not None:
            return None
        if self.told.is_certified:
            return _keep_fed(self.told)
        if self.forecast is None:
            return None
        return _advice(self.told, self.forecast.as_planned["next_step"])

    @cached_property
    def signable(self) -> Signable | None:
        return signable(self.told)

    @cached_property
    def timeline(self) -> list[Told]:
        return timeline(self.told)

    @property
    def readings(self) -> Table:
        """The chart's marks as words: the latest first."""
        rows = sorted(standing(self.told.story.readings), key=lambda row: row.happened_at)
        return Table(
            columns=("Day", "Sampled", "Parameter", "Value", "Method"),
            rows=tuple(_reading_row(self.told, row) for row in reversed(rows)),
        )

    @property
    def expected(self) -> Table | None:
        """The chart's bands as words, at a few days from now."""
        if self.forecast is None:
            return None
        return _expected(self.forecast)

    def _window(self, plan: str) -> Window | None:
        if self.forecast is None:
            return None
        return window(
            getattr(self.forecast, plan),
            started_at=self.told.cycle.started_at,
            horizon_h=self.forecast.case["ready_definition"]["horizon_h"],
            zone=self.told.cycle.vessel.site.zone,
        )


def follow(told: Course) -> Followed:
    return Followed(told=told, forecast=latest_forecast(told.cycle))


def follow_all(told: Sequence[Course]) -> list[Followed]:
    """Follow many start-ups with one query more, however many there are."""
    forecasts = latest_forecasts(one.cycle for one in told)
    return [Followed(told=one, forecast=forecasts.get(one.cycle.pk)) for one in told]


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


def _advice(told: Course, step: dict[str, Any]) -> Advice:
    label, name, query = _ACTS[step["kind"]]
    titles = {
        "dose": "Dose ammonia",
        "challenge": "Challenge the filter",
        "buffer": "Raise alkalinity",
        "water_change": "Change water",
        "retest": "Read again",
        "wait": "Wait",
    }
    aimed = query and step["amount"] and f"&target={step['amount']:g}"
    url = reverse(name, args=[told.cycle.vessel_id]) + query + (aimed or "")
    return Advice(
        title=titles[step["kind"]],
        amount=_amount(step),
        why=step["why"],
        act=Act(label=label, url=url),
    )


def _keep_fed(told: Course) -> Advice:
    """A proven filter has one enemy that nobody notices: an empty table."""
    label, name, query = _ACTS["dose"]
    lapses_at = told.lapses_at or told.at
    zone = told.cycle.vessel.site.zone
    return Advice(
        title="Keep the filter fed",
        amount="daily",
        why=f"The certified feed lapses {day_and_time(lapses_at, zone=zone)} if nothing is fed.",
        act=Act(label=label, url=reverse(name, args=[told.cycle.vessel_id]) + query),
    )


def _amount(step: dict[str, Any]) -> str:
    amount, unit = step["amount"], step["unit"]
    if amount is None:
        return ""
    if unit == "fraction":
        return f"{amount:.0%}"
    if unit == "d":
        return "a day"
    return f"{written(float(amount))} {unit}"


def _reading_row(told: Course, row: Reading) -> tuple[str, ...]:
    day = (row.happened_at - told.cycle.started_at) / timedelta(days=1)
    return (
        f"{day:.1f}",
        day_and_time(row.happened_at, zone=told.cycle.vessel.site.zone),
        row.get_parameter_display(),
        reading_written(row),
        row.method.name,
    )


_AHEAD_DAYS: Final = (0, 3, 7, 14)
_BANDS: Final = (
    ("tan", "TAN", "mg/L", "N"),
    ("nitrite", "Nitrite", "mg/L", "N"),
    ("nitrate", "Nitrate", "mg/L", "N"),
    ("ph", "pH", "pH", ""),
    ("alkalinity", "Alkalinity", "meq/L", ""),
)


def _expected(forecast: Forecast) -> Table:
    bands, now_h = forecast.as_planned["bands"], forecast.case["now_h"]
    places = list(_places(bands["t_h"], now_h))
    rows = (
        (
            f"{name} {unit_and_basis(unit, basis)}".strip(),
            *(_band_words(bands[key], place) for place in places),
        )
        for key, name, unit, basis in _BANDS
        if key in bands
    )
    days = (f"day {bands['t_h'][place] / 24:.0f}" for place in places)
    return Table(columns=("Median (eight in ten)", *days), rows=tuple(rows))


def _places(t_h: list[float], now_h: float) -> Iterator[int]:
    ahead = [place for place, at_h in enumerate(t_h) if at_h >= now_h]
    for days in _AHEAD_DAYS:
        if days < len(ahead):
            yield ahead[days]


def _band_words(band: dict[str, list[float]], place: int) -> str:
    low, middle, high = (f"{band[level][place]:.3g}" for level in ("p10", "p50", "p90"))
    return f"{middle} ({low} to {high})"
