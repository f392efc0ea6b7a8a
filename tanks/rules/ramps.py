"""A ramp to the stocking value: what to do on which day, and how far it has come. Pure.

One even step a day. Salinity goes up by dry salt, which only a water without animals takes, and
down by exchange for fresh water. A step is done once a reading has come to its mark.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any, Final, Literal, TypeAlias

from chemistry.ramp import exchange_ramp, salt_ramp, temperature_ramp
from tanks.rules.values import Interval

State: TypeAlias = Literal["done", "due", "overdue", "planned"]

# Common practice, no source: what a probe or a hydrometer tells apart.
NEAR: Final = {"SALINITY": 0.5, "TEMPERATURE": 0.3}
# Common practice, no source: a filter moved this far is challenged again, and heat goes slowly.
PROVE_AGAIN_BEYOND: Final = {"SALINITY": 10.0, "TEMPERATURE": 4.0}
QUICK_C_PER_DAY: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """``target`` in °C or g/kg, reached by ``salt_g`` or ``exchange_l``; both 0 for heat."""

    day: int
    on: date
    target: float
    salt_g: float = 0.0
    exchange_l: float = 0.0

    def plain(self) -> dict[str, Any]:
        """As the row keeps it, rounded to what can be measured."""
        kept = {name: round(value, 2) for name, value in asdict(self).items() if name != "on"}
        return {**kept, "on": self.on.isoformat()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    step: Step
    state: State


def salinity_steps(
    *,
    begin_g_kg: float,
    end_g_kg: float,
    volume_l: float,
    temperature_c: float,
    starts_on: date,
    days: int,
) -> tuple[Step, ...]:
    """Return one step a day; none when the water is there already.

    Raises:
        OutOfRange: the values or the steps are not those of a tank.
    """
    if is_near(begin_g_kg, end_g_kg, of="SALINITY"):
        return ()
    a_day = abs(end_g_kg - begin_g_kg) / days
    if end_g_kg >= begin_g_kg:
        found = salt_ramp(
            volume_l=volume_l,
            salinity_g_kg=begin_g_kg,
            target_g_kg=end_g_kg,
            step_g_kg=a_day,
            temperature_c=temperature_c,
        )
    else:
        found = exchange_ramp(
            volume_l=volume_l,
            salinity_g_kg=begin_g_kg,
            target_g_kg=end_g_kg,
            step_g_kg=a_day,
            source_g_kg=0.0,
            temperature_c=temperature_c,
        )
    return tuple(
        Step(
            day=step.day,
            on=_on(starts_on, step.day),
            target=step.target_g_kg,
            salt_g=step.salt_g,
            exchange_l=step.exchange_l,
        )
        for step in found
    )


def temperature_steps(
    *, begin_c: float, end_c: float, starts_on: date, days: int
) -> tuple[Step, ...]:
    """Return one set point a day; none when the water is there already.

    Raises:
        OutOfRange: the values or the steps are not those of a tank.
    """
    if is_near(begin_c, end_c, of="TEMPERATURE"):
        return ()
    a_day = abs(end_c - begin_c) / days
    found = temperature_ramp(temperature_c=begin_c, target_c=end_c, step_c=a_day)
    return tuple(
        Step(day=step.day, on=_on(starts_on, step.day), target=step.target_c) for step in found
    )


def is_near(value: float, target: float, *, of: str) -> bool:
    """Tell whether the two differ by no more than is told apart."""
    return abs(value - target) <= NEAR[of]


def read_back(rows: Iterable[dict[str, Any]]) -> tuple[Step, ...]:
    """Return the steps a row keeps."""
    return tuple(Step(**{**row, "on": date.fromisoformat(row["on"])}) for row in rows)


def progress(
    steps: Sequence[Step], *, of: str, begin: float, read: Iterable[Interval], today: date
) -> Iterator[Progress]:
    """Tell of each step how it stands, from the readings taken since the ramp was planned."""
    known = list(read)
    for step in steps:
        is_up = step.target >= begin
        done = any(_has_come(interval, step.target, near=NEAR[of], up=is_up) for interval in known)
        yield Progress(step=step, state="done" if done else _waiting(step, today))


def notes(*, of: str, begin: float, end: float, days: int) -> Iterator[str]:
    """Yield what to bear in mind; every figure is common practice, no source."""
    if of == "TEMPERATURE" and abs(end - begin) > QUICK_C_PER_DAY * days:
        yield f"More than {QUICK_C_PER_DAY:g} °C a day: usual is 1 to 2 °C. Plan more days."
    if abs(end - begin) > PROVE_AGAIN_BEYOND[of]:
        far = f"{PROVE_AGAIN_BEYOND[of]:g} {'°C' if of == 'TEMPERATURE' else 'g/kg'}"
        yield f"A change of more than {far}: challenge the filter again at the new value."
    yield "Begin when TAN and nitrite are nil; raise pH last, never while ammonia is present."


def _on(starts_on: date, day: int) -> date:
    return starts_on + timedelta(days=day - 1)


def _has_come(read: Interval, target: float, *, near: float, up: bool) -> bool:
    """A bracket counts by the edge that is farther from the target."""
    return read.low >= target - near if up else read.top <= target + near


def _waiting(step: Step, today: date) -> State:
    if step.on > today:
        return "planned"
    return "due" if step.on == today else "overdue"
