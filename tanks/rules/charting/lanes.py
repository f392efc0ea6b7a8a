"""The rows above the panels: what was done and when, and when a first pass is expected."""

from datetime import datetime
from typing import Final

import altair as alt

from tanks.rules.charting.amounts import amounts
from tanks.rules.charting.drawing import Act, Drawing, FirstPass
from tanks.rules.charting.frame import EDGE_PX, Frame, Row, layer, x_axis
from tanks.rules.charting.inks import Ink

EXPECTED: Final = "first pass"
# Each row has its own shape and, down through the panels, some have their own dash.
SHAPES: Final = {
    "ammonia": "circle",
    "challenge": "diamond",
    "alkalinity": "square",
    "salt": "square",
    "dechlorinate": "square",
    "water change": "triangle-right",
    "feed": "circle",
    "seeding": "triangle-up",
    "device": "triangle-left",
    "incident": "cross",
    "certificate": "diamond",
    "passed": "diamond",
}
DASHES: Final = {
    "ammonia": [1, 3],
    "challenge": [1, 0],
    "water change": [6, 3],
    "incident": [8, 2, 2, 2],
}
_ROW_PX: Final = 17
_HALF_LETTER_PX: Final = 3.0
_DAY: Final = alt.X(field="day", type="quantitative")


def lanes(drawing: Drawing, *, frame: Frame, ink: Ink) -> alt.LayerSpec:
    """Return the rows; each act is a mark, with its amount written beside it where it fits."""
    first = drawing.first_pass
    names = [name for name in SHAPES if any(act.lane == name for act in drawing.acts)]
    if first and first.p10_at:
        names.append(EXPECTED)
    shown = [act for act in drawing.acts if act.lane in names]
    layers = [_marks(shown, names, frame, ink)]
    layers += amounts(shown, _row(names), frame=frame, ink=ink)
    if first and first.p10_at:
        layers += _expected(first, names, frame, ink)
    layers += [now_rule(frame, ink), _now_word(drawing.now_word, frame, ink)]
    height_px = max(len(names), 1) * _ROW_PX
    return alt.LayerSpec(width=frame.width_px, height=height_px, layer=layers)


def now_rule(frame: Frame, ink: Ink) -> alt.UnitSpec:
    """Return the line between what was and what may be."""
    line = alt.MarkDef(type="rule", color=ink.ink, strokeWidth=1.25)
    return layer([{"day": frame.now_day}], line, x=x_axis(frame))


def _now_word(text: str, frame: Frame, ink: Ink) -> alt.UnitSpec:
    """Above its line; near the right edge, ending there."""
    is_at_edge = frame.px(frame.now_day) + len(text) * _HALF_LETTER_PX > frame.width_px
    word = alt.MarkDef(
        type="text",
        text=text,
        color=ink.ink,
        align="right" if is_at_edge else "center",
        baseline="bottom",
        dy=-3,
        fontSize=11,
    )
    return layer([{"day": frame.now_day}], word, x=_DAY, y=alt.PositionValueDef(value=0))


def _marks(acts: list[Act], names: list[str], frame: Frame, ink: Ink) -> alt.UnitSpec:
    rows: list[Row] = [{"day": frame.day(act.at), "lane": act.lane} for act in acts]
    point = alt.MarkDef(type="point", filled=True, size=46, opacity=1, color=ink.ink)
    scale = alt.Scale(domain=list(SHAPES), range=list(SHAPES.values()))
    shape = alt.Shape(field="lane", type="nominal", legend=None, scale=scale)
    return layer(rows, point, x=x_axis(frame), y=_row(names), shape=shape)


def _row(names: list[str]) -> alt.Y:
    axis = alt.Axis(
        title=None,
        domain=False,
        ticks=False,
        minExtent=EDGE_PX,
        maxExtent=EDGE_PX,
        labelPadding=6,
    )
    scale = alt.Scale(domain=names or ["nothing yet"])
    return alt.Y(field="lane", type="nominal", sort=names, scale=scale, axis=axis)


def _expected(first: FirstPass, names: list[str], frame: Frame, ink: Ink) -> list[alt.UnitSpec]:
    """Return a thin bar for eight in ten, a thick one for half, and a tick for the median."""
    drawn = []
    for early, late, thick_px in (
        (first.p10_at, first.p90_at, 3),
        (first.p25_at, first.p75_at, 9),
    ):
        if early:
            drawn.append(_bar(early, late, names, frame, ink, thick_px=thick_px))
    if first.p50_at:
        rows: list[Row] = [{"day": frame.day(first.p50_at), "lane": EXPECTED}]
        tick = alt.MarkDef(
            type="tick", color=ink.ink, thickness=2, size=_ROW_PX - 3, orient="vertical"
        )
        drawn.append(layer(rows, tick, x=_DAY, y=_row(names)))
    return drawn


def _bar(
    early: datetime,
    late: datetime | None,
    names: list[str],
    frame: Frame,
    ink: Ink,
    *,
    thick_px: int,
) -> alt.UnitSpec:
    until = frame.day(late) if late else frame.last_day
    rows: list[Row] = [{"day": frame.day(early), "until": until, "lane": EXPECTED}]
    bar = alt.MarkDef(type="rule", strokeWidth=thick_px, color=ink.brass)
    return layer(rows, bar, x=_DAY, x2=alt.X2(field="until"), y=_row(names))
