"""The whole chart as a Vega-Lite specification."""

from typing import Final

import altair as alt

from tanks.rules.charting.drawing import PANELS, Drawing
from tanks.rules.charting.frame import Spec, frame_of
from tanks.rules.charting.inks import INKS, LETTERS, Ink, Theme
from tanks.rules.charting.lanes import lanes
from tanks.rules.charting.panels import panel

_KEY: Final = (
    "▽ below detection, at its limit; △ over range; bar: between two colours of a kit. {after}: "
    "dashed line, the forecast's median; band, where eight in ten forecasts lie. Shaded, and "
    "the thin bar in the row “first pass”: eight in ten forecasts; its thick part: half of them. "
    "Dotted level: what a challenge must fall to."
)
KEY: Final = _KEY.format(after="After now")
KEPT_KEY: Final = (
    _KEY.format(after="After the forecast was made")
    + " The row “passed”: when the challenge began that first passed."
)
WIDTHS_PX: Final = (320, 680, 1040)
_PAD_PX: Final = 3


def spec(drawing: Drawing, *, width_px: int, theme: Theme) -> Spec:
    """Return the specification of a chart ``width_px`` wide; the panels stack, so it fits a phone.

    The same drawing gives the same specification.
    """
    ink = INKS[theme]
    frame = frame_of(drawing, width_px=width_px - 2 * _PAD_PX)
    names = [name for name in PANELS if _is_told(name, drawing)] or ["TAN"]
    drawn = [
        panel(name, drawing, frame=frame, ink=ink, is_last=name == names[-1]) for name in names
    ]
    chart = alt.TopLevelVConcatSpec(
        vconcat=[lanes(drawing, frame=frame, ink=ink), *drawn],
        spacing=24,
        bounds="flush",
        background=ink.paper,
        padding=_PAD_PX,
        config=_config(ink),
    )
    return {"$schema": alt.SCHEMA_URL, **chart.to_dict(validate=False)}


def nearest_width_px(asked_px: int) -> int:
    """Return the offered width nearest to the one asked for: few variants, well cached."""
    return min(WIDTHS_PX, key=lambda width_px: abs(width_px - asked_px))


def _is_told(name: str, drawing: Drawing) -> bool:
    is_read = any(mark.parameter == name for mark in drawing.marks)
    return is_read or any(outlook.parameter == name for outlook in drawing.outlooks)


def _config(ink: Ink) -> alt.Config:
    return alt.Config(
        font=LETTERS,
        view=alt.ViewConfig(stroke=ink.line, strokeWidth=0.75),
        axis=alt.AxisConfig(
            labelColor=ink.soft,
            domainColor=ink.line,
            tickColor=ink.line,
            gridColor=ink.line,
            gridOpacity=0.5,
            labelFontSize=11,
            labelPadding=6,
        ),
        title=alt.TitleConfig(color=ink.ink, fontSize=12, fontWeight="bold", anchor="start"),
    )
