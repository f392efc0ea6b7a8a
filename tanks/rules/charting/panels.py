"""One panel a parameter: its readings as marks, its forecast as a band."""

from typing import Final

import altair as alt

from tanks.rules.charting.drawing import PANELS, Drawing, Mark, Outlook
from tanks.rules.charting.frame import EDGE_PX, Frame, Row, layer, x_axis
from tanks.rules.charting.inks import Ink
from tanks.rules.charting.lanes import DASHES, now_rule

EXACT: Final = {
    "TAN": "circle",
    "NITRITE": "square",
    "NITRATE": "diamond",
    "PH": "circle",
    "ALKALINITY": "square",
}
BELOW: Final = "triangle-down"
ABOVE: Final = "triangle-up"
_HEIGHT_PX: Final = {"TAN": 112, "NITRITE": 112, "NITRATE": 78, "PH": 78, "ALKALINITY": 78}
_LIMITED: Final = ("TAN", "NITRITE")
_HEADROOM: Final = 1.08
_PH_ROOM: Final = 0.3
_LEAST_TOP: Final = 0.5
# A band's upper edge may run far off; the readings must stay legible.
_BAND_SHARE: Final = 2.5


def panel(name: str, drawing: Drawing, *, frame: Frame, ink: Ink, is_last: bool) -> alt.LayerSpec:
    """Return the panel of one parameter; the lowest one also names the days."""
    marks = [mark for mark in drawing.marks if mark.parameter == name]
    outlook = _shown(next((one for one in drawing.outlooks if one.parameter == name), None), frame)
    x, y = x_axis(frame, is_labelled=is_last), _y_axis(name, marks, outlook)
    layers = [_window(drawing, frame, ink, x), *_rules(drawing, frame, ink)]
    if drawing.limit_mg_l_n is not None and name in _LIMITED:
        layers.append(_limit(drawing.limit_mg_l_n, ink, y))
    if outlook:
        layers += _band(outlook, frame, ink.series[name], x, y)
    layers += _readings(name, marks, frame, ink, x, y)
    return alt.LayerSpec(
        width=frame.width_px,
        height=_HEIGHT_PX[name],
        title=alt.TitleParams(text=PANELS[name], offset=3, frame="group"),
        layer=[*layers, now_rule(frame, ink)],
    )


def _shown(outlook: Outlook | None, frame: Frame) -> Outlook | None:
    """Leave out what lies past the right edge: it would only squeeze the scale."""
    if outlook is None:
        return None
    count = sum(frame.is_shown(at) for at in outlook.at)
    return Outlook(
        parameter=outlook.parameter,
        at=outlook.at[:count],
        p10=outlook.p10[:count],
        p50=outlook.p50[:count],
        p90=outlook.p90[:count],
    )


def _y_axis(name: str, marks: list[Mark], outlook: Outlook | None) -> alt.Y:
    axis = alt.Axis(title=None, tickCount=4, minExtent=EDGE_PX, maxExtent=EDGE_PX)
    domain = _domain(name, marks, outlook)
    scale = alt.Scale(domain=domain, nice=True, clamp=True, zero=False)
    return alt.Y(field="low", type="quantitative", axis=axis, scale=scale)


def _domain(name: str, marks: list[Mark], outlook: Outlook | None) -> list[float]:
    seen = [edge for mark in marks for edge in (mark.low, mark.high) if edge is not None]
    middle = list(outlook.p50) if outlook else []
    if name == "PH":
        values = [*seen, *middle] or [7.0]
        return [min(values) - _PH_ROOM, max(values) + _PH_ROOM]
    read = max([*seen, *middle], default=1.0)
    expected = max(outlook.p90, default=0.0) if outlook else 0.0
    return [0.0, max(read, min(expected, read * _BAND_SHARE), _LEAST_TOP) * _HEADROOM]


def _window(drawing: Drawing, frame: Frame, ink: Ink, x: alt.X) -> alt.UnitSpec:
    """Shade when eight in ten forecasts see the first pass."""
    first = drawing.first_pass
    rows: list[Row] = []
    if first and first.p10_at:
        until = frame.day(first.p90_at) if first.p90_at else frame.last_day
        rows = [{"day": frame.day(first.p10_at), "until": until}]
    shade = alt.MarkDef(type="rect", color=ink.brass, opacity=0.12)
    return layer(rows, shade, x=x, x2=alt.X2(field="until"))


def _rules(drawing: Drawing, frame: Frame, ink: Ink) -> list[alt.UnitSpec]:
    found = []
    for lane, dash in DASHES.items():
        rows: list[Row] = [{"day": frame.day(act.at)} for act in drawing.acts if act.lane == lane]
        line = alt.MarkDef(
            type="rule", color=ink.soft, strokeDash=dash, strokeWidth=0.75, opacity=0.7
        )
        if rows:
            found.append(layer(rows, line, x=x_axis(frame)))
    return found


def _limit(limit_mg_l_n: float, ink: Ink, y: alt.Y) -> alt.UnitSpec:
    line = alt.MarkDef(type="rule", color=ink.soft, strokeDash=[2, 2], strokeWidth=1)
    return layer([{"low": limit_mg_l_n}], line, y=y)


def _band(outlook: Outlook, frame: Frame, colour: str, x: alt.X, y: alt.Y) -> list[alt.UnitSpec]:
    columns = zip(outlook.at, outlook.p10, outlook.p50, outlook.p90, strict=True)
    rows: list[Row] = [
        {"day": frame.day(at), "low": low, "middle": middle, "high": high}
        for at, low, middle, high in columns
    ]
    area = alt.MarkDef(type="area", color=colour, opacity=0.2)
    dashed = alt.MarkDef(type="line", color=colour, strokeDash=[5, 3], strokeWidth=1.75)
    median = y.copy(deep=False)
    median["field"] = "middle"
    return [
        layer(rows, area, x=x, y=y, y2=alt.Y2(field="high")),
        layer(rows, dashed, x=x, y=median),
    ]


def _readings(
    name: str, marks: list[Mark], frame: Frame, ink: Ink, x: alt.X, y: alt.Y
) -> list[alt.UnitSpec]:
    colour = ink.series[name]
    bar = alt.MarkDef(type="rule", strokeWidth=4, color=colour)
    exact = alt.MarkDef(
        type="point", shape=EXACT[name], filled=True, size=34, opacity=1, color=colour
    )
    return [
        layer(_rows(marks, "BETWEEN", frame), bar, x=x, y=y, y2=alt.Y2(field="high")),
        layer(_rows(marks, "EQUAL", frame), exact, x=x, y=y),
        layer(_rows(marks, "BELOW", frame), _hollow(BELOW, colour), x=x, y=y),
        layer(_rows(marks, "ABOVE", frame), _hollow(ABOVE, colour), x=x, y=y),
    ]


def _hollow(shape: str, colour: str) -> alt.MarkDef:
    return alt.MarkDef(
        type="point", shape=shape, filled=False, size=48, opacity=1, color=colour, strokeWidth=1.5
    )


def _rows(marks: list[Mark], qualifier: str, frame: Frame) -> list[Row]:
    """Below detection stands at its limit, over range at the top of the range."""
    return [
        {
            "day": frame.day(mark.at),
            "low": mark.high if qualifier == "BELOW" else mark.low,
            "high": mark.high,
        }
        for mark in marks
        if mark.qualifier == qualifier
    ]
