"""The one time axis: days since the start, named by day number and by the site's calendar."""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from typing import Any, Final, TypeAlias

import altair as alt
from altair.utils import schemapi

from tanks.rules.charting.drawing import Drawing

Spec: TypeAlias = dict[str, Any]
Row: TypeAlias = dict[str, float | str | None]

# Altair checks every part against its schema as it is made, 0.8 s a chart; the tests do that.
schemapi.disable_debug_mode()

EDGE_PX: Final = 62
RIGHT_PX: Final = 14
_LEAST_DAYS: Final = 3.0
_AHEAD: Final = timedelta(days=14)
_TICK_PX: Final = 52
_STEPS_D: Final = (1, 2, 7, 14, 28)


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """``last_day`` is the right edge of every panel, ``width_px`` their width without axes."""

    started_at: datetime
    zone: tzinfo
    now_day: float
    last_day: float
    width_px: int

    def day(self, at: datetime) -> float:
        """Return days since the start, no later than the right edge."""
        return min(_days(at - self.started_at), self.last_day)

    def is_shown(self, at: datetime) -> bool:
        return _days(at - self.started_at) <= self.last_day

    def px(self, day: float) -> float:
        return day / self.last_day * self.width_px

    def day_at(self, px: float) -> float:
        return px / self.width_px * self.last_day


def frame_of(drawing: Drawing, *, width_px: int) -> Frame:
    """Return the axis for a chart that is ``width_px`` wide in all."""
    return Frame(
        started_at=drawing.started_at,
        zone=drawing.zone,
        now_day=_days(drawing.now - drawing.started_at),
        last_day=_last_day(drawing),
        width_px=width_px - EDGE_PX - RIGHT_PX,
    )


def x_axis(frame: Frame, *, is_labelled: bool = False) -> alt.X:
    """Return the channel of days; only the lowest panel names them."""
    ticks = _ticks(frame)
    axis = alt.Axis(
        values=ticks,
        title=None,
        labels=is_labelled,
        ticks=is_labelled,
        labelFlush=True,
        labelLineHeight=13,
        labelExpr=_names_of(ticks, frame) if is_labelled else alt.Undefined,
    )
    scale = alt.Scale(domain=[0, frame.last_day], nice=False, zero=False)
    return alt.X(field="day", type="quantitative", axis=axis, scale=scale)


def layer(rows: list[Row], mark: alt.MarkDef, **where: Any) -> alt.UnitSpec:
    """Return one layer: rows, the mark that draws them, and the channels that place them."""
    return alt.UnitSpec(data=alt.InlineData(values=rows), mark=mark, encoding=alt.Encoding(**where))


def _last_day(drawing: Drawing) -> float:
    """Up to the late end of the first pass, but never so far that the past is squeezed."""
    lived = drawing.now - drawing.started_at
    if drawing.until is not None:
        return max(_days(drawing.until - drawing.started_at), _LEAST_DAYS)
    if not drawing.outlooks:
        return max(_days(lived) * 1.04, _LEAST_DAYS)
    ahead = drawing.now + max(_AHEAD, lived)
    late = drawing.first_pass.p90_at if drawing.first_pass else None
    until = min(ahead, late + timedelta(days=1)) if late else ahead
    return max(_days(until - drawing.started_at), _days(lived) + 1.0, _LEAST_DAYS)


def _ticks(frame: Frame) -> list[int]:
    least_d = _TICK_PX / frame.width_px * frame.last_day
    step = next((step for step in _STEPS_D if step >= least_d), _STEPS_D[-1])
    return list(range(0, int(frame.last_day) + 1, step))


def _names_of(ticks: list[int], frame: Frame) -> str:
    names = json.dumps({str(tick): _calendar_day(frame, tick) for tick in ticks})
    return f"['day ' + datum.value, ({names})['' + datum.value]]"


def _calendar_day(frame: Frame, day: int) -> str:
    local = (frame.started_at + timedelta(days=day)).astimezone(frame.zone)
    return f"{local.day} {local:%b}"


def _days(span: timedelta) -> float:
    return span / timedelta(days=1)
