"""Whether a test, or a water, still behaves as it did: charts and control rules."""

from collections.abc import Iterator
from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Choice,
    Input,
    Option,
    Output,
    Series,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.control_charts import READING, Chart, individuals, mean_and_deviation, mean_and_range
from chemistry.domain import Range
from chemistry.westgard import DEVIATION, MEAN, PER_RUN, Break, breaks

_GROUP: Final = Range(name="readings in a group", unit="", low=1, high=10)
_PROVISIONAL_BELOW: Final = 20
_RANGE, _DEVIATION = "range", "deviation"


def _control_chart(*, readings: tuple[float, ...], size: float, scatter: str) -> Worked:
    chart, method = _chart(readings, int(size), scatter)
    points = len(readings) // int(size)
    level, spread = chart.level, chart.scatter
    return Worked(
        values={
            "outside": float(len({*level.outside, *spread.outside})),
            "centre": level.centre,
            "lower": level.lower,
            "upper": level.upper,
            "scatter_centre": spread.centre,
            "scatter_lower": spread.lower,
            "scatter_upper": spread.upper,
        },
        working=(
            f"mean of {points} points = {level.centre:.4g}, their mean scatter {spread.centre:.4g}",
            f"level: {level.centre:.4g} ± {level.upper - level.centre:.4g}",
            f"scatter: {spread.lower:.4g} to {spread.upper:.4g}",
        ),
        notes=tuple(_notes_on(chart, points)),
        method=method,
    )


def _chart(readings: tuple[float, ...], size: int, scatter: str) -> tuple[Chart, str]:
    if size == 1:
        return individuals(readings), "single readings and moving range"
    if len(readings) % size or len(readings) < 2 * size:
        raise Unsolved(
            f"{len(readings)} readings do not make two or more full groups of {size}: "
            "give more readings, or another size.",
            field="size",
        )
    groups = [readings[at : at + size] for at in range(0, len(readings), size)]
    if scatter == _DEVIATION:
        return mean_and_deviation(groups), "means and standard deviations"
    return mean_and_range(groups), "means and ranges"


def _notes_on(chart: Chart, points: int) -> Iterator[str]:
    if chart.level.outside:
        yield f"Level outside its limits at point {_places(chart.level.outside)}."
    if chart.scatter.outside:
        yield f"Scatter outside its limits at point {_places(chart.scatter.outside)}."
    if not chart.scatter.centre:
        yield "The readings show no scatter, so any change falls outside: read finer."
    if points < _PROVISIONAL_BELOW:
        yield (
            f"With fewer than {_PROVISIONAL_BELOW} points the limits are provisional "
            "(common practice, no source)."
        )


def _places(outside: tuple[int, ...]) -> str:
    return ", ".join(str(place + 1) for place in outside)


CONTROL_CHART: Final = Calculation(
    name="control-chart",
    question="Which readings stand out from the ordinary scatter?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="readings",
            label="Readings in the order taken (one unit, not written)",
            unit="",
            accepted=READING,
            fewest=3,
            example="0.11 0.09 0.10 0.12 0.08 0.10 0.11 0.31",
        ),
        Input(
            name="size",
            label="Readings in a group",
            unit="",
            accepted=_GROUP,
            whole=True,
            default="1",
            example="1",
            hint="1 for single readings; 2 to 10 where each point is the mean of several.",
        ),
        Choice(
            name="scatter",
            label="Scatter of a group by",
            options=(
                Option(value=_RANGE, label="range: largest less smallest"),
                Option(value=_DEVIATION, label="standard deviation"),
            ),
            default=_RANGE,
            example=_RANGE,
        ),
    ),
    outputs=(
        Output(name="outside", label="Points outside", unit="", figures=1),
        Output(name="centre", label="Level: centre", unit=""),
        Output(name="lower", label="Level: lower limit", unit=""),
        Output(name="upper", label="Level: upper limit", unit=""),
        Output(name="scatter_centre", label="Scatter: centre", unit=""),
        Output(name="scatter_lower", label="Scatter: lower limit", unit=""),
        Output(name="scatter_upper", label="Scatter: upper limit", unit=""),
    ),
    formula=(
        "single readings: mean ± 2.66 × mean moving range; moving range up to 3.267 × its mean\n"
        "groups by range: mean ± A2 × mean range; ranges D3 to D4 × mean range\n"
        "groups by deviation: mean ± A3 × mean s; deviations B3 to B4 × mean s"
    ),
    sources=(
        Source(text="constants of ISO 7870-2 and ASTM E2587, from public tables", mark="found"),
        Source(text="d2, d3 and c4 from the distribution of the range", mark="computed"),
    ),
    cautions=(
        "Limits tell what is usual here, not what animals bear.",
        "Counts of deaths in small tanks are not normal; these limits do not suit them.",
    ),
    solve=_control_chart,
)


def _westgard(
    *, readings: tuple[float, ...], mean: float, deviation: float, per_run: float
) -> Worked:
    found = breaks(readings, mean=mean, standard_deviation=deviation, per_run=int(per_run))
    latest = (readings[-1] - mean) / deviation
    return Worked(
        values={
            "rejections": float(sum(one.rejects for one in found)),
            "warnings": float(sum(not one.rejects for one in found)),
            "latest": latest,
        },
        working=(
            f"latest = ({readings[-1]:.4g} − {mean:.4g}) / {deviation:.4g} = {latest:.2f} s",
            *(f"{one.rule} at control {_stretch(one)}: {one.error}" for one in found),
        ),
        notes=tuple(_notes_on_rules(found, per_run)),
        method="Westgard multirule",
    )


def _stretch(one: Break) -> str:
    return f"{one.first + 1}" if one.first == one.last else f"{one.first + 1} to {one.last + 1}"


def _notes_on_rules(found: tuple[Break, ...], per_run: float) -> Iterator[str]:
    if any(one.rejects for one in found):
        yield "Reject the run: find the cause before believing any result of it."
    elif found:
        yield "A warning only: inspect, then go on."
    if per_run == 1:
        yield "With one control a run, R-4s cannot be judged."


WESTGARD: Final = Calculation(
    name="westgard",
    question="May this run of tests be believed?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="readings",
            label="Readings of the control, in order (one unit, not written)",
            unit="",
            accepted=READING,
            fewest=1,
            example="1.05 0.98 1.22 1.24",
        ),
        Input(name="mean", label="Mean of the control", unit="", accepted=MEAN, example="1.00"),
        Input(
            name="deviation",
            label="Standard deviation of the control",
            unit="",
            accepted=DEVIATION,
            example="0.10",
            hint="Both from twenty or more controls taken while all was well.",
        ),
        Input(
            name="per_run",
            label="Controls in a run",
            unit="",
            accepted=PER_RUN,
            whole=True,
            default="1",
            example="1",
        ),
    ),
    outputs=(
        Output(name="rejections", label="Rules that reject", unit="", figures=1),
        Output(name="warnings", label="Warnings", unit="", figures=1),
        Output(name="latest", label="Latest control, in standard deviations", unit="", figures=2),
    ),
    formula=(
        "1-2s warns; 1-3s, 2-2s, R-4s, 4-1s and 10-x reject\n"
        "beyond is more than so many standard deviations from the mean, on one side\n"
        "R-4s: within one run, one beyond +2 s and one beyond −2 s"
    ),
    sources=(
        Source(text="Table 1 of PMC3909142 (2013)", mark="found"),
        Source(text="Westgard et al. 1981, Clin. Chem. 27:493-501", mark="memory"),
    ),
    solve=_westgard,
)

CALCULATIONS: Final = (CONTROL_CHART, WESTGARD)
