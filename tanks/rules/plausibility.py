"""Can it be so, could this method read it, and is it surprising? Pure.

Three answers of three weights: what cannot be is refused; what the method cannot read must be
written as a limit; what is only surprising is asked about once.
"""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from functools import partial
from math import inf
from typing import Final

from facility.rules.wording import unit_and_basis, written
from tanks.rules.values import (
    PARAMETERS,
    Entered,
    Interval,
    UnknownUnit,
    Unreadable,
    canonical,
    measure_of,
    parse_entry,
)

# A reading this old says little about today.
FORGET_AFTER: Final = timedelta(days=30)


class Fault(ValueError):  # noqa: N818  the house names refusals by what is so
    """An entry cannot be kept as it was written; ``code`` says which kind of fault it is."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One entry with its unit and basis, as it is to be judged."""

    parameter: str
    entered: Entered
    unit: str
    basis: str

    @property
    def interval(self) -> Interval:
        return canonical(
            self.parameter,
            self.entered.qualifier,
            self.entered.value,
            self.entered.upper,
            self.unit,
            self.basis,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What a method can read, in its own unit and basis."""

    name: str
    unit: str
    basis: str
    lowest: Decimal | None
    highest: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How far two readings of one water lie apart without anybody wondering.

    ``at_once`` plus ``per_hour`` for each hour between them, never more than ``most``; what
    lies outside ``usual`` surprises by itself. All in canonical units.
    """

    at_once: float
    per_hour: float
    most: float
    usual: Interval
    falls_freely: bool = False


# Common practice, no source. A dose, a change of water or a ramp may well go further: then the
# question is asked once, and the answer kept.
PACES: Final = {
    "TAN": Pace(at_once=2.5, per_hour=0.1, most=6.0, usual=Interval(0, 10)),
    "NITRITE": Pace(at_once=1.0, per_hour=0.15, most=8.0, usual=Interval(0, 20)),
    "NITRATE": Pace(at_once=15.0, per_hour=0.3, most=60.0, usual=Interval(0, 200)),
    "PH": Pace(at_once=0.4, per_hour=0.02, most=1.2, usual=Interval(5.5, 9.2)),
    "ALKALINITY": Pace(at_once=0.8, per_hour=0.03, most=3.0, usual=Interval(0, 8)),
    "TEMPERATURE": Pace(at_once=1.5, per_hour=0.5, most=6.0, usual=Interval(4, 34)),
    "SALINITY": Pace(at_once=1.5, per_hour=0.3, most=20.0, usual=Interval(0, 41)),
    "OXYGEN": Pace(at_once=2.0, per_hour=0.5, most=6.0, usual=Interval(2, 16)),
    "CHLORINE": Pace(at_once=0.1, per_hour=0.05, most=1.0, usual=Interval(0, 5), falls_freely=True),
}


def judged(*, parameter: str, text: str, unit: str, basis: str, reach: Reach) -> Measured:
    """Return what was entered once it can be kept.

    Raises:
        Fault: unreadable-value, unknown-unit, impossible-value or off-method-range.
    """
    try:
        measure_of(parameter, unit, basis)
        entered = parse_entry(text)
    except UnknownUnit as error:
        raise Fault("unknown-unit", str(error)) from error
    except Unreadable as error:
        raise Fault("unreadable-value", str(error)) from error
    measured = Measured(parameter=parameter, entered=entered, unit=unit, basis=basis)
    if sentence := impossible(measured):
        raise Fault("impossible-value", sentence)
    if sentence := off_range(measured, reach):
        raise Fault("off-method-range", sentence)
    return measured


def impossible(measured: Measured) -> str | None:
    """Say why no tank's water can read so, or None."""
    measure = measure_of(measured.parameter, measured.unit, measured.basis)
    values = [measured.entered.value, measured.entered.upper]
    if all(value is None or measure.low <= value <= measure.high for value in values):
        return _below_nothing(measured, measure.low)
    unit = unit_and_basis(measured.unit, measured.basis if measured.unit != "pH" else "")
    span = f"{measure.low:g} to {measure.high:g} {unit}".rstrip()
    return (
        f"{PARAMETERS[measured.parameter]} in a tank lies within {span}; look at the value again."
    )


def off_range(measured: Measured, reach: Reach) -> str | None:
    """Ask for ``<lowest`` or ``>highest`` where the method cannot read what was written."""
    is_native = (measured.unit, measured.basis) == (reach.unit, reach.basis)
    said = _as_written(measured.entered) if is_native else measured.interval
    qualifier = measured.entered.qualifier
    edge = partial(_edge, measured.parameter, reach, is_native=is_native)
    if _reads_below(qualifier, said, edge(reach.lowest)):
        return _write_instead(reach, "below", "<", reach.lowest)
    if _reads_above(qualifier, said, edge(reach.highest)):
        return _write_instead(reach, "above", ">", reach.highest)
    return None


def surprising(
    parameter: str, new: Interval, *, latest: Interval | None, read: str, after: timedelta
) -> str | None:
    """Say what is unexpected about ``new``, or None.

    ``latest`` is the water's reading before it, ``read`` as entered, ``after`` this time.
    """
    pace = PACES[parameter]
    if new.gap_to(pace.usual) > 0:
        way = "low" if new.low < pace.usual.low else "high"
        return f"{PARAMETERS[parameter]} is seldom so {way} in a tank: look once more."
    if latest is None or after > FORGET_AFTER:
        return None
    usual_change = min(pace.at_once + pace.per_hour * _hours(after), pace.most)
    fell = new.top < latest.low
    if new.gap_to(latest) <= usual_change or (fell and pace.falls_freely):
        return None
    return f"That is far from the {read} read {_ago(after)} before."


def _below_nothing(measured: Measured, low: float) -> str | None:
    if measured.entered.qualifier == "BELOW" and float(measured.entered.value) <= low:
        return f"Nothing reads below {low:g}; write the lowest value the method can tell."
    return None


def _as_written(entered: Entered) -> Interval:
    value = float(entered.value)
    if entered.qualifier == "BELOW":
        return Interval(-inf, value)
    if entered.qualifier == "ABOVE":
        return Interval(value, None)
    return Interval(value, value if entered.upper is None else float(entered.upper))


def _edge(parameter: str, reach: Reach, limit: Decimal | None, *, is_native: bool) -> float | None:
    if limit is None:
        return None
    if is_native:
        return float(limit)
    return canonical(parameter, "EQUAL", limit, None, reach.unit, reach.basis).low


def _reads_below(qualifier: str, said: Interval, lowest: float | None) -> bool:
    if lowest is None or qualifier == "ABOVE":
        return False
    return said.top <= lowest if qualifier == "BETWEEN" else said.top < lowest


def _reads_above(qualifier: str, said: Interval, highest: float | None) -> bool:
    if highest is None or qualifier == "BELOW":
        return False
    return said.low > highest if qualifier == "ABOVE" else said.top > highest


def _write_instead(reach: Reach, side: str, sign: str, limit: Decimal | None) -> str:
    unit = unit_and_basis(reach.unit, reach.basis if reach.unit != "pH" else "")
    edge = f"{written(limit)} {unit}".rstrip()
    return f"{reach.name} cannot read {side} {edge}; write {sign}{written(limit)}."


def _hours(span: timedelta) -> float:
    return max(span / timedelta(hours=1), 0.0)


def _ago(span: timedelta) -> str:
    hours = round(_hours(span))
    return f"{hours} h" if hours < 48 else f"{hours // 24} d"  # noqa: PLR2004  days from two on
