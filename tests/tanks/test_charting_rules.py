"""The chart of a start-up, checked as a specification and against Vega-Lite's own schema."""

from itertools import pairwise

import altair as alt
import pytest
import vl_convert
from altair.utils.schemapi import SchemaValidationError
from hypothesis import given
from hypothesis import strategies as st

from tanks.rules.charting import INKS, Drawing, Theme, nearest_width_px, spec
from tanks.rules.charting.amounts import labels_of
from tanks.rules.charting.frame import frame_of
from tanks.rules.charting.lanes import SHAPES
from tests.tanks.drawings import (
    BEGAN,
    DAY,
    act,
    drawing,
    first_pass,
    layers_with,
    mark,
    outlook,
    panel_of,
)

TAN = "TAN, mg/L as N"


def full() -> Drawing:
    return drawing(
        marks=(
            mark(),
            mark(qualifier="BELOW", low=0.0, high=0.25),
            mark(qualifier="ABOVE", low=4.0, high=None),
            mark(qualifier="BETWEEN", low=0.5, high=1.0),
            mark(parameter="PH", low=7.8, high=7.8),
        ),
        acts=(act(), act(lane="incident", amount="power loss")),
        outlooks=(outlook(), outlook("PH")),
        first_pass=first_pass(),
        limit_mg_l_n=0.25,
    )


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width_px", [320, 680, 1040])
def test_a_chart_is_a_valid_vega_lite_specification(width_px: int, theme: Theme) -> None:
    """Schema of Vega-Lite 6, as the altair package carries it."""
    drawn = spec(full(), width_px=width_px, theme=theme)

    assert alt.TopLevelVConcatSpec(**drawn).to_dict(validate=True) == drawn
    drawn["vconcat"][0]["layer"][0]["mark"]["type"] = "blot"
    with pytest.raises(SchemaValidationError):
        alt.TopLevelVConcatSpec(**drawn).to_dict()


def test_below_detection_is_an_open_triangle_down_at_the_limit() -> None:
    drawn = spec(
        drawing(marks=(mark(qualifier="BELOW", low=0.0, high=0.25),)), width_px=680, theme="light"
    )

    (layer,) = layers_with(panel_of(drawn, TAN), "point")

    assert layer["mark"]["shape"] == "triangle-down"
    assert layer["mark"]["filled"] is False
    assert layer["data"]["values"] == [{"day": 1.0, "low": 0.25, "high": 0.25}]


def test_over_range_is_an_open_triangle_up_at_the_top_of_the_range() -> None:
    drawn = spec(
        drawing(marks=(mark(qualifier="ABOVE", low=4.0, high=None),)), width_px=680, theme="light"
    )

    (layer,) = layers_with(panel_of(drawn, TAN), "point")

    assert layer["mark"]["shape"] == "triangle-up"
    assert layer["mark"]["filled"] is False
    assert layer["data"]["values"][0]["low"] == 4.0


def test_between_two_colours_is_a_bar_from_one_to_the_other() -> None:
    drawn = spec(
        drawing(marks=(mark(qualifier="BETWEEN", low=0.5, high=1.0),)), width_px=680, theme="light"
    )

    (layer,) = layers_with(panel_of(drawn, TAN), "rule", strokeWidth=4)

    assert layer["data"]["values"] == [{"day": 1.0, "low": 0.5, "high": 1.0}]
    assert layer["encoding"]["y2"] == {"field": "high"}


def test_a_clock_change_shifts_no_mark() -> None:
    """Three days are three days, though one of them had 23 hours on the wall."""
    drawn = spec(drawing(marks=(mark(at=BEGAN + 3 * DAY),)), width_px=680, theme="light")

    (layer,) = layers_with(panel_of(drawn, TAN), "point")

    assert layer["data"]["values"][0]["day"] == 3.0


def test_every_panel_has_the_same_axis_of_days() -> None:
    drawn = spec(full(), width_px=320, theme="light")

    domains = {
        tuple(layer["encoding"]["x"]["scale"]["domain"])
        for part in drawn["vconcat"]
        for layer in part["layer"]
        if "scale" in layer["encoding"].get("x", {})
    }

    assert len(domains) == 1
    assert {part["width"] for part in drawn["vconcat"]} == {drawn["vconcat"][0]["width"]}


def test_only_the_lowest_panel_names_the_days_by_the_calendar_of_the_site() -> None:
    drawn = spec(full(), width_px=1040, theme="light")

    axes = [part["layer"][0]["encoding"]["x"]["axis"] for part in drawn["vconcat"]]

    assert [axis["labels"] for axis in axes] == [False] * (len(axes) - 1) + [True]
    assert '"2": "29 Mar"' in axes[-1]["labelExpr"]


def test_a_first_pass_past_the_horizon_shades_to_the_edge() -> None:
    told = drawing(outlooks=(outlook(),), first_pass=first_pass(p75_at=None, p90_at=None))
    drawn = spec(told, width_px=680, theme="light")

    (shade,) = layers_with(panel_of(drawn, TAN), "rect")

    assert shade["data"]["values"][0]["until"] == frame_of(told, width_px=680).last_day


def test_no_forecast_draws_no_band_and_no_window() -> None:
    part = panel_of(spec(drawing(), width_px=680, theme="light"), TAN)

    assert not layers_with(part, "area")
    assert not layers_with(part, "rect")


def test_what_lies_past_the_right_edge_does_not_squeeze_the_scale() -> None:
    told = drawing(outlooks=(outlook(days=75),), first_pass=first_pass())
    part = panel_of(spec(told, width_px=680, theme="light"), TAN)

    (band,) = layers_with(part, "area")

    assert max(row["day"] for row in band["data"]["values"]) <= 23
    assert band["encoding"]["y"]["scale"]["domain"][1] < 20


def test_kinds_of_acts_differ_by_shape_or_row_and_never_by_colour_alone() -> None:
    drawn = spec(full(), width_px=680, theme="light")
    marks = layers_with(drawn["vconcat"][0], "point")[0]

    assert marks["encoding"]["y"]["field"] == "lane"
    assert marks["encoding"]["shape"]["scale"]["range"] == list(SHAPES.values())
    assert "color" not in marks["encoding"]


@given(st.lists(st.floats(0.0, 20.0), min_size=1, max_size=30), st.sampled_from([320, 1040]))
def test_amounts_cover_no_mark_no_amount_and_not_the_line_of_now(
    days: list[float], width_px: int
) -> None:
    acts = [act(at=BEGAN + day * DAY) for day in days]
    frame = frame_of(drawing(now=BEGAN + 20 * DAY, outlooks=(outlook(),)), width_px=width_px)
    now_px, marks_px = frame.px(frame.now_day), [frame.px(frame.day(one.at)) for one in acts]

    labels = list(labels_of(acts, frame=frame))

    assert all(later.from_px >= earlier.until_px for earlier, later in pairwise(labels))
    for label in labels:
        assert label.until_px - label.from_px >= 8 * 5.6
        assert not any(label.from_px < px < label.until_px for px in [*marks_px, now_px])


@pytest.mark.parametrize(
    ("dosed", "place"),
    [
        ((5.0,), (5.0, "left")),
        ((9.9,), (9.9, "right")),
        ((9.5, 9.9), (10.0, "left")),
    ],
    ids=["long ago: after its mark", "just now: before its mark", "no room there: past the line"],
)
def test_the_amount_of_the_latest_dose_is_written_clear_of_the_line_of_now(
    dosed: tuple[float, ...], place: tuple[float, str]
) -> None:
    acts = tuple(act(at=BEGAN + day * DAY, amount=f"{day} mg/L-N") for day in dosed)
    told = drawing(acts=acts, outlooks=(outlook(),), first_pass=first_pass())

    drawn = spec(told, width_px=680, theme="light")["vconcat"][0]

    written = {
        row["amount"]: (row["day"], layer["mark"]["align"])
        for layer in layers_with(drawn, "text")
        for row in layer["data"]["values"]
        if "amount" in row
    }
    assert written[acts[-1].amount] == (pytest.approx(place[0]), place[1])


def test_the_line_of_now_bears_the_word_it_is_given_and_ends_it_at_the_edge() -> None:
    drawn = spec(drawing(now_word="2026-04-06"), width_px=680, theme="light")["vconcat"][0]

    (word,) = layers_with(drawn, "text", text="2026-04-06")

    assert word["mark"]["align"] == "right"


def test_a_width_asked_for_becomes_one_of_three() -> None:
    assert [nearest_width_px(width) for width in (0, 390, 700, 99999)] == [320, 320, 680, 1040]


def test_the_same_drawing_gives_the_same_svg_with_letters_in_it() -> None:
    drawn = spec(full(), width_px=320, theme="dark")

    first, second = (vl_convert.vegalite_to_svg(drawn) for _ in range(2))

    assert first == second
    assert ">now</text>" in first
    assert ">Nitrite" not in first
    assert INKS["dark"].paper in first
    assert " style=" not in first
