"""Un-ionised ammonia over time, from each reading of TAN, pH or temperature. Pure."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import Final

from facility.rules.wording import written
from tanks.rules.alarms.known import Known, Point
from tanks.rules.free_ammonia import CannotCalculate, FreeAmmonia, Given, free_ammonia
from tanks.rules.limits import UNIONISED, Read
from tanks.rules.values import Interval

_NEEDED: Final = ("TAN", "PH", "TEMPERATURE")
# A figure older than this says little about the water now: common practice, no source.
_GOES_WITH: Final = timedelta(hours=48)
_LATEST: Final = 6


def free_points(known: Known) -> tuple[Point, ...]:
    """Return what un-ionised ammonia was at the last few moments it can be told for."""
    moments = sorted({point.at for name in _NEEDED for point in known.of(name)})
    found = (_at(moment, known) for moment in moments[-_LATEST:])
    return tuple(point for point in found if point is not None)


def _at(moment: datetime, known: Known) -> Point | None:
    parts = {name: _standing(known.of(name), moment) for name in (*_NEEDED, "SALINITY")}
    tan, ph, temperature = (parts[name] for name in _NEEDED)
    if tan is None or ph is None or temperature is None:
        return None
    given = _given(tan, ph, temperature, parts["SALINITY"])
    try:
        told = free_ammonia(given)
    except CannotCalculate:
        return None
    return _point(moment, told, (tan, ph, temperature))


def _standing(points: Iterable[Point], moment: datetime) -> Point | None:
    """The reading that held at the moment; salinity and the rest may be two days older."""
    before = [point for point in points if moment - _GOES_WITH <= point.at <= moment]
    return before[-1] if before else None


def _given(tan: Point, ph: Point, temperature: Point, salinity: Point | None) -> Given:
    return Given(
        tan=tan.interval,
        tan_by=tan.read.method_kind,
        ph=ph.interval,
        ph_by=ph.read.method_kind,
        ph_is_total=ph.read.ph_is_total,
        temperature=temperature.interval,
        salinity=salinity.interval if salinity else None,
    )


def _point(moment: datetime, told: FreeAmmonia, parts: tuple[Point, ...]) -> Point:
    interval = _middle(told.value)
    return Point(
        keys=tuple(_keys(parts)),
        code=parts[0].code,
        read=Read(
            parameter=UNIONISED,
            interval=interval,
            text=f"about {written(float(f'{interval.low:.2g}'))} mg/L as N",
            at=moment,
            method_kind=parts[0].read.method_kind,
        ),
        entered="",
    )


def _keys(parts: Iterable[Point]) -> Iterator[str]:
    for part in parts:
        yield from part.keys


def _middle(value: Interval) -> Interval:
    """Detected TAN counts by the middle, as everywhere; what may be nothing by its edges."""
    if value.low <= 0 or value.high is None:
        return value
    middle = (value.low + value.high) / 2
    return Interval(middle, middle)
