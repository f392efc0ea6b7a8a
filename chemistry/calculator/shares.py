"""In which samples a share stands out."""

from collections.abc import Iterator
from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Input,
    Output,
    Series,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.control_charts import Limits
from chemistry.domain import Range
from chemistry.share_charts import EXPECTED_FOR_THE_NORMAL_LAW, SAMPLE, share_limits

_COUNT: Final = Range(name="count", unit="", low=0, high=1e6)


def _share_chart(*, counts: tuple[float, ...], size: float) -> Worked:
    if any(count != round(count) for count in counts):
        raise Unsolved("Counts are whole numbers: write 1, 2, 3 …", field="counts")
    found = share_limits(counts, size=int(size))
    return Worked(
        values={
            "outside": float(len(found.outside)),
            "centre": 100 * found.centre,
            "lower": 100 * found.lower,
            "upper": 100 * found.upper,
        },
        working=(
            f"mean share = {sum(counts):g} / ({len(counts)} × {size:g}) = {found.centre:.4f}",
            f"3 √(p (1 − p) / {size:g}), kept within 0 and 1",
        ),
        notes=tuple(_notes_on_shares(found, size)),
        method="share chart",
    )


def _notes_on_shares(found: Limits, size: float) -> Iterator[str]:
    if found.outside:
        yield f"Outside the limits: sample {', '.join(str(at + 1) for at in found.outside)}."
    if min(found.centre, 1 - found.centre) * size < EXPECTED_FOR_THE_NORMAL_LAW:
        yield "Fewer than five are expected in a sample: these limits are too rough to rely on."


SHARE_CHART: Final = Calculation(
    name="share-chart",
    question="In which samples did more, or fewer, fail than usual?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="counts",
            label="How many in each sample, in order",
            unit="",
            accepted=_COUNT,
            fewest=2,
            example="12 15 8 10 4 7 16 9 14 10 22",
        ),
        Input(
            name="size",
            label="Size of each sample",
            unit="",
            accepted=SAMPLE,
            whole=True,
            example="50",
        ),
    ),
    outputs=(
        Output(name="outside", label="Samples outside", unit="", figures=1),
        Output(name="centre", label="Mean share", unit="%"),
        Output(name="lower", label="Lower limit", unit="%"),
        Output(name="upper", label="Upper limit", unit="%"),
    ),
    formula="mean share p ± 3 √(p (1 − p) / size), kept within 0 and 100 %",
    sources=(Source(text="Montgomery, Introduction to Statistical Quality Control", mark="found"),),
    cautions=(
        "Deaths in small tanks are too few for these limits.",
        "Each unexplained death is a sign of its own: ask a veterinarian who knows fish.",
    ),
    solve=_share_chart,
)

CALCULATIONS: Final = (SHARE_CHART,)
