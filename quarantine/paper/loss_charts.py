"""Survival and weekly losses, drawn: SVG for the screen, in the house's colours."""

from collections.abc import Iterable, Iterator
from typing import Any, Final

import altair as alt
import vl_convert

from quarantine.queries.weekly_deaths import Charted
from quarantine.rules.survival import Curve
from tanks.rules.charting import INKS, Theme
from tanks.rules.charting.inks import LETTERS, Ink

_HEIGHT_PX: Final = 260
_PER_CENT: Final = 100
_TEN: Final = 10
_PAD_PX: Final = 3


def survival_svg(curves: Iterable[tuple[str, Curve, float]], *, width_px: int, theme: Theme) -> str:
    """Draw each named curve with its 95 % band, up to the day it was followed to."""
    ink = INKS[theme]
    names = [name for name, _, _ in curves]
    rows = [row for told in curves for row in _stairs(*told)]
    base = alt.Chart(alt.InlineData(values=rows)).encode(
        x=alt.X("day:Q", title="Days since they came"),
        color=alt.Color("who:N", scale=_scale(names, ink), legend=_legend(names)),
    )
    lowest = min((row["low"] for row in rows), default=0.0)
    floor = max(0.0, lowest // _TEN * _TEN - _TEN)
    share: dict[str, Any] = {"title": "Alive, %", "scale": alt.Scale(domain=[floor, _PER_CENT])}
    band = base.mark_area(opacity=0.18, interpolate="step-after").encode(
        y=alt.Y("low:Q", **share), y2="high:Q"
    )
    line = base.mark_line(interpolate="step-after", strokeWidth=2).encode(
        y=alt.Y("share:Q", **share), strokeDash=alt.StrokeDash("who:N", legend=None)
    )
    return _drawn(band + line, width_px, ink)


def weeks_svg(told: Charted, *, width_px: int, theme: Theme) -> str:
    """Draw the share lost each week between its exact limits; what lies outside is marked."""
    ink = INKS[theme]
    base = alt.Chart(alt.InlineData(values=list(_weeks(told)))).encode(
        x=alt.X("week:T", title="Week beginning", axis=alt.Axis(format="%-d %b"))
    )
    lost: dict[str, Any] = {"title": "Lost in the week, %", "scale": alt.Scale(zero=True)}
    limits = base.mark_area(opacity=0.22, interpolate="step", color=ink.series["NITRITE"]).encode(
        y=alt.Y("lower:Q", **lost), y2="upper:Q"
    )
    usual = base.mark_line(strokeDash=[4, 3], color=ink.soft).encode(y=alt.Y("centre:Q", **lost))
    points = base.mark_point(filled=True, size=48, opacity=1).encode(
        y=alt.Y("share:Q", **lost),
        color=_either(ink.brass, ink.ink),
        shape=_either("triangle-up", "circle"),
        size=_either(140, 48),
    )
    return _drawn(limits + usual + points, width_px, ink)


def _either(outside: Any, inside: Any) -> dict[str, Any]:
    return {"condition": {"test": "datum.outside", "value": outside}, "value": inside}


def _stairs(name: str, curve: Curve, until: float) -> Iterator[dict[str, Any]]:
    yield {"who": name, "day": 0.0, "share": 100.0, "low": 100.0, "high": 100.0}
    share, low, high = 1.0, 1.0, 1.0
    for step in curve.steps:
        share, low, high = step.share, step.low, step.high
        yield _stair(name, step.days, share, low, high)
    yield _stair(name, until, share, low, high)


def _stair(name: str, day: float, share: float, low: float, high: float) -> dict[str, Any]:
    told = {"share": share, "low": low, "high": high}
    return {"who": name, "day": day} | {key: value * _PER_CENT for key, value in told.items()}


def _weeks(told: Charted) -> Iterator[dict[str, Any]]:
    points = told.shares.points if told.shares else ()
    for week, point in zip(told.weeks, points, strict=True):
        yield {
            "week": week.begins_on.isoformat(),
            "share": point.share * _PER_CENT,
            "lower": point.lower * _PER_CENT,
            "upper": point.upper * _PER_CENT,
            "centre": (told.shares.centre if told.shares else 0.0) * _PER_CENT,
            "outside": point.is_outside,
        }


def _scale(names: list[str], ink: Ink) -> alt.Scale:
    colours = [ink.series["NITRITE"], ink.brass, ink.soft]
    return alt.Scale(domain=names, range=colours[: len(names)])


def _legend(names: list[str]) -> alt.Legend | None:
    return alt.Legend(title=None, orient="top") if len(names) > 1 else None


def _drawn(chart: Any, width_px: int, ink: Ink) -> str:
    sized = chart.properties(
        width="container", height=_HEIGHT_PX, background=ink.paper, padding=_PAD_PX
    ).configure(font=LETTERS)
    told = sized.to_dict(validate=False) | {
        "width": width_px - 2 * _PAD_PX,
        "autosize": {"type": "fit-x", "contains": "padding"},
    }
    told.setdefault("config", {}).update(_config(ink))
    text: str = vl_convert.vegalite_to_svg(told)
    return text


def _config(ink: Ink) -> dict[str, Any]:
    letters = {"labelColor": ink.soft, "titleColor": ink.soft, "labelFontSize": 11}
    lines = {"domainColor": ink.line, "tickColor": ink.line, "gridColor": ink.line}
    return {
        "font": LETTERS,
        "view": {"stroke": ink.line},
        "axis": letters | lines | {"gridOpacity": 0.5, "titleFontSize": 11},
        "legend": {"labelColor": ink.ink, "labelFontSize": 12, "labelLimit": 260},
    }
