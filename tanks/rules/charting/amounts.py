"""Amounts written beside their marks: never over a mark, another amount or the line of now."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import altair as alt

from tanks.rules.charting.drawing import Act
from tanks.rules.charting.frame import Frame, Row, layer
from tanks.rules.charting.inks import Ink

Align: TypeAlias = Literal["left", "right"]

_LETTER_PX: Final = 5.6
_BESIDE_PX: Final = 6.0
_NEAR_PX: Final = 12.0
_DX_PX: Final[dict[Align, float]] = {"left": _BESIDE_PX, "right": -_BESIDE_PX}


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """An amount set beside ``at_px``; ``align`` is its own edge there, left or right."""

    act: Act
    at_px: float
    align: Align

    @property
    def from_px(self) -> float:
        return self.at_px - (_need_px(self.act) if self.align == "right" else 0.0)

    @property
    def until_px(self) -> float:
        return self.at_px + (_need_px(self.act) if self.align == "left" else 0.0)


def amounts(acts: Iterable[Act], y: alt.Y, *, frame: Frame, ink: Ink) -> list[alt.UnitSpec]:
    """Return the amounts that find room, those after their place and those before it."""
    labels = list(labels_of(acts, frame=frame))
    drawn = []
    for align, dx_px in _DX_PX.items():
        rows: list[Row] = [
            {"day": frame.day_at(one.at_px), "lane": one.act.lane, "amount": one.act.amount}
            for one in labels
            if one.align == align
        ]
        word = alt.MarkDef(type="text", color=ink.ink, align=align, dx=dx_px, fontSize=10)
        text = alt.Text(field="amount", type="nominal")
        if rows:
            drawn.append(
                layer(rows, word, x=alt.X(field="day", type="quantitative"), y=y, text=text)
            )
    return drawn


def labels_of(acts: Iterable[Act], *, frame: Frame) -> Iterator[Label]:
    """Set the amounts row by row, each where it has room; one that has none is left out."""
    rows: dict[str, list[Act]] = {}
    for act in sorted(acts, key=lambda act: act.at):
        rows.setdefault(act.lane, []).append(act)
    for row in rows.values():
        yield from _labels_in(row, frame)


def _labels_in(row: list[Act], frame: Frame) -> Iterator[Label]:
    edges = [frame.px(frame.day(act.at)) for act in row] + [float(frame.width_px)]
    free_px = 0.0
    for act, at_px, next_px in zip(row, edges, edges[1:], strict=False):
        label = _label(act, at_px, free_px=free_px, next_px=next_px, frame=frame)
        if label and act.amount:
            yield label
        free_px = max(at_px + _BESIDE_PX, label.until_px if label else 0.0)


def _label(act: Act, at_px: float, *, free_px: float, next_px: float, frame: Frame) -> Label | None:
    """After the mark; if the line of now would cross it, before the mark or close past the line."""
    now_px, need_px = frame.px(frame.now_day), _need_px(act)
    is_crossed = at_px <= now_px < at_px + need_px
    if is_crossed and at_px - need_px >= free_px:
        return Label(act=act, at_px=at_px, align="right")
    if is_crossed and now_px - at_px > _NEAR_PX:
        return None
    from_px = now_px if is_crossed else at_px
    if from_px + need_px <= next_px:
        return Label(act=act, at_px=from_px, align="left")
    return None


def _need_px(act: Act) -> float:
    return len(act.amount) * _LETTER_PX + 2 * _BESIDE_PX
