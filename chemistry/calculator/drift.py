"""Whether a reading has drifted slowly."""

from collections.abc import Iterator
from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Input,
    Output,
    Series,
    Source,
    Subject,
    Worked,
)
from chemistry.drift import ALLOWANCE, DECISION, DEVIATION, READING, TARGET, Drift, cumulative

_FALSE_ALARM_IN: Final = 465


def _slow_drift(
    *,
    readings: tuple[float, ...],
    target: float,
    deviation: float,
    allowance: float,
    decision: float,
) -> Worked:
    found = cumulative(
        readings,
        target=target,
        standard_deviation=deviation,
        allowance_sd=allowance,
        decision_sd=decision,
    )
    last = found.sums[-1]
    return Worked(
        values={
            "upper": last.upper,
            "lower": last.lower,
            "limit": found.decision,
            "beyond": float(len(found.beyond)),
        },
        working=(
            f"allowance = {allowance:g} × {deviation:.4g} = {allowance * deviation:.4g}",
            f"limit = {decision:g} × {deviation:.4g} = {found.decision:.4g}",
            f"above the target: {last.upper:.4g}, above zero for {last.upper_age} readings",
            f"below the target: {last.lower:.4g}, above zero for {last.lower_age} readings",
        ),
        notes=tuple(_notes_on_drift(found)),
        method="tabular cumulative sum",
    )


def _notes_on_drift(found: Drift) -> Iterator[str]:
    if not found.beyond:
        yield "No drift so far."
        return
    at = found.beyond[0]
    one = found.sums[at]
    is_up = one.upper > one.lower
    began = at + 1 - (one.upper_age if is_up else one.lower_age) + 1
    way = "up" if is_up else "down"
    yield f"Drifted {way}: shown at reading {at + 1}, begun about reading {began}."


SLOW_DRIFT: Final = Calculation(
    name="slow-drift",
    question="Has a reading drifted, too slowly to be seen from day to day?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="readings",
            label="Readings in the order taken (one unit, not written)",
            unit="",
            accepted=READING,
            fewest=2,
            example="8.21 8.19 8.16 8.18 8.14 8.15 8.12 8.13 8.10 8.11",
        ),
        Input(name="target", label="Target", unit="", accepted=TARGET, example="8.20"),
        Input(
            name="deviation",
            label="Standard deviation when all is well",
            unit="",
            accepted=DEVIATION,
            example="0.03",
        ),
        Input(
            name="allowance",
            label="Allowance, in standard deviations",
            unit="",
            accepted=ALLOWANCE,
            default="0.5",
            example="0.5",
            hint="Half the shift to be found.",
        ),
        Input(
            name="decision",
            label="Limit, in standard deviations",
            unit="",
            accepted=DECISION,
            default="5",
            example="5",
        ),
    ),
    outputs=(
        Output(name="beyond", label="Readings past the limit", unit="", figures=1),
        Output(name="upper", label="Sum above the target", unit=""),
        Output(name="lower", label="Sum below the target", unit=""),
        Output(name="limit", label="Limit of both sums", unit=""),
    ),
    formula=(
        "above = max(0, above + reading − target − allowance)\n"
        "below = max(0, below + target − reading − allowance)\n"
        "past the limit, the level has moved"
    ),
    sources=(
        Source(text="Montgomery & Runger, Applied Statistics, section 16-8", mark="found"),
        Source(
            text=f"one false alarm in {_FALSE_ALARM_IN} readings, as usually set", mark="computed"
        ),
    ),
    cautions=("A drift of the probe looks like a drift of the water: calibrate first.",),
    solve=_slow_drift,
    arguments={"standard_deviation": "deviation"},
)


CALCULATIONS: Final = (SLOW_DRIFT,)
