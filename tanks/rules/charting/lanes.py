"""The rows above the panels: what was done and when, and when a first pass is expected."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Final

import altair as alt

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
}
DASHES: Final = {
    "ammonia": [1, 3],
    "challenge": [1, 0],
    "water change": [6, 3],
    "incident": [8, 2, 2, 2],
}
_ROW_PX: Final = 17
_LETTER_PX: Final = 5.6
_BESIDE_PX: Final = 6.0
_DAY: Final = alt.X(field="day", type="quantitative")


def lanes(drawing: Drawing, *, frame: Frame, ink: Ink) -> alt.LayerSpec:
    """Return the rows; each act is a mark, with its amount written beside it where it fits."""
    first = drawing.first_pass
    names = [name for name in SHAPES if any(act.lane == name for act in drawing.acts)]
    if first and first.p10_at:
        names.append(EXPECTED)
    layers = [_marks(drawing, names, frame, ink), _amounts(drawing, names, frame, ink)]
    if first and first.p10_at:
        layers += _expected(first, names, frame, ink)
    layers += [now_rule(frame, ink), _now_word(frame, ink)]
    height_px = max(len(names), 1) * _ROW_PX
    return alt.LayerSpec(width=frame.width_px, height=height_px, layer=layers)


def now_rule(frame: Frame, ink: Ink) -> alt.UnitSpec:
    """Return the line between what was and what may be."""
    line = alt.MarkDef(type="rule", color=ink.ink, strokeWidth=1.25)
    return layer([{"day": frame.now_day}], line, x=x_axis(frame))


def room_for(acts: Iterable[Act], *, frame: Frame) -> Iterator[tuple[Act, bool]]:
    """Tell for each act, row by row, whether its amount fits before the next mark."""
    rows: dict[str, list[Act]] = {}
    for act in sorted(acts, key=lambda act: act.at):
        rows.setdefault(act.lane, []).append(act)
    for row in rows.values():
        edges = [frame.px(frame.day(act.at)) for act in row] + [float(frame.width_px)]
        for act, at_px, next_px in zip(row, edges, edges[1:], strict=False):
            need_px = len(act.amount) * _LETTER_PX + 2 * _BESIDE_PX
            yield act, at_px + need_px <= next_px


def _now_word(frame: Frame, ink: Ink) -> alt.UnitSpec:
    word = alt.MarkDef(
        type="text",
        text="now",
        color=ink.ink,
        align="center",
        baseline="bottom",
        dy=-3,
        fontSize=11,
    )
    return layer([{"day": frame.now_day}], word, x=_DAY, y=alt.PositionValueDef(value=0))


def _marks(drawing: Drawing, names: list[str], frame: Frame, ink: Ink) -> alt.UnitSpec:
    rows: list[Row] = [
        {"day": frame.day(act.at), "lane": act.lane} for act in drawing.acts if act.lane in names
    ]
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


def _amounts(drawing: Drawing, names: list[str], frame: Frame, ink: Ink) -> alt.UnitSpec:
    rows: list[Row] = [
        {"day": frame.day(act.at), "lane": act.lane, "amount": act.amount}
        for act, fits in room_for(drawing.acts, frame=frame)
        if fits and act.amount and act.lane in names
    ]
    word = alt.MarkDef(type="text", color=ink.ink, align="left", dx=_BESIDE_PX, fontSize=10)
    amount = alt.Text(field="amount", type="nominal")
    return layer(rows, word, x=_DAY, y=_row(names), text=amount)


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
