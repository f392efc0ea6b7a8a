"""The chart of a start-up in words and numbers, for whoever cannot see it."""

from collections.abc import Iterator
from datetime import timedelta
from itertools import chain
from typing import Final

from facility.rules.wording import day_and_time, unit_and_basis
from facility.sockets.paper import Table
from tanks.models import Forecast, Reading
from tanks.queries.cycles import Course
from tanks.queries.measures import written
from tanks.queries.stories import standing
from tanks.rules.outlooks import expected_at

_AHEAD_DAYS: Final = (0, 3, 7, 14)
_BANDS: Final = (
    ("tan", "TAN", "mg/L", "N"),
    ("nitrite", "Nitrite", "mg/L", "N"),
    ("nitrate", "Nitrate", "mg/L", "N"),
    ("ph", "pH", "pH", ""),
    ("alkalinity", "Alkalinity", "meq/L", ""),
)
_UNITS: Final = {key: unit_and_basis(unit, basis) for key, _, unit, basis in _BANDS}
_LEAST_SHOWN: Final = 0.005


def readings_table(told: Course) -> Table:
    """Return every reading now held true, the latest first."""
    rows = sorted(standing(told.story.readings), key=lambda row: row.happened_at)
    return Table(
        columns=("Day", "Sampled", "Parameter", "Value", "Method"),
        rows=tuple(_reading_row(told, row) for row in reversed(rows)),
    )


def expected_table(forecast: Forecast) -> Table:
    """Return median and band at a few days from now."""
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


def met_table(told: Course, forecast: Forecast) -> Table:
    """Return what was read after a forecast was made, beside what it had expected then."""
    rows = sorted(standing(told.story.readings), key=lambda row: (row.happened_at, row.parameter))
    return Table(
        columns=("Day", "Parameter", "Read", "Expected (eight in ten)", "So it was"),
        rows=tuple(chain.from_iterable(_met(told, forecast, row) for row in rows)),
        note="The band is of the water itself; a kit adds its own error, so that more than two in "
        "ten readings may lie outside.",
    )


def _met(told: Course, forecast: Forecast, row: Reading) -> Iterator[tuple[str, ...]]:
    t_h = (row.happened_at - told.cycle.started_at) / timedelta(hours=1)
    key = row.parameter.lower()
    expected = expected_at(forecast.as_planned["bands"], key, t_h=t_h)
    if expected is None or t_h <= forecast.case["now_h"]:
        return
    low, middle, high = expected
    name, unit = row.get_parameter_display(), _UNITS[key]
    band = f"{_plain(middle)} ({_plain(low)} to {_plain(high)}) {unit}".strip()
    yield f"{t_h / 24:.1f}", name, written(row), band, _side(row, low, high)


def _side(row: Reading, low: float, high: float) -> str:
    read = row.interval
    if read.low > high:
        return "above"
    return "below" if read.high is not None and read.high < low else "inside"


def _reading_row(told: Course, row: Reading) -> tuple[str, ...]:
    day = (row.happened_at - told.cycle.started_at) / timedelta(days=1)
    return (
        f"{day:.1f}",
        day_and_time(row.happened_at, zone=told.cycle.vessel.site.zone),
        row.get_parameter_display(),
        written(row),
        row.method.name,
    )


def _places(t_h: list[float], now_h: float) -> Iterator[int]:
    ahead = [place for place, at_h in enumerate(t_h) if at_h >= now_h]
    for days in _AHEAD_DAYS:
        if days < len(ahead):
            yield ahead[days]


def _band_words(band: dict[str, list[float]], place: int) -> str:
    low, middle, high = (_plain(band[level][place]) for level in ("p10", "p50", "p90"))
    return f"{middle} ({low} to {high})"


def _plain(value: float) -> str:
    """Three figures; what no kit shows is nothing."""
    return f"{value:.3g}" if value >= _LEAST_SHOWN else "0"
