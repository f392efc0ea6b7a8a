"""The least a test can tell from none."""

from collections.abc import Iterator
from typing import Final

from chemistry.calculator.terms import (
    Calculation,
    Output,
    Series,
    Source,
    Subject,
    Unsolved,
    Worked,
)
from chemistry.detection import READING, DetectionLimit
from chemistry.detection import detection_limit as limit_of

_SPIKE_FROM, _SPIKE_TO = 2, 10
_NATIONAL: Final = Source(
    text="40 CFR Part 136, Appendix B, revision 2 (2017), after state copies", mark="found"
)


def _detection_limit(*, spiked: tuple[float, ...], blanks: tuple[float, ...] = ()) -> Worked:
    found = limit_of(spiked=spiked, blanks=blanks)
    if not found.standard_deviation:
        raise Unsolved(
            "The spiked samples all read alike, so they show no scatter: "
            "read finer than the kit's steps, or spike nearer to the limit.",
            field="spiked",
        )
    from_blanks = {} if found.from_blanks is None else {"from_blanks": found.from_blanks}
    return Worked(
        values={
            "limit": found.limit,
            "from_spikes": found.from_spikes,
            "low": found.low,
            "high": found.high,
            "mean": found.mean,
            "deviation": found.standard_deviation,
        }
        | from_blanks,
        working=(
            f"s of {len(spiked)} spiked samples = {found.standard_deviation:.4g}",
            f"t({len(spiked) - 1}; 0.99) = {found.student_t:.3f}",
            f"{found.student_t:.3f} × {found.standard_deviation:.4g} = {found.from_spikes:.4g}",
        ),
        notes=tuple(_notes_on_the_limit(found, blanks)),
        method="40 CFR 136 App. B",
    )


def _notes_on_the_limit(found: DetectionLimit, blanks: tuple[float, ...]) -> Iterator[str]:
    times = found.mean / found.limit
    if not _SPIKE_FROM <= times <= _SPIKE_TO:
        yield (
            f"The samples hold {times:.2g} times the limit; "
            f"repeat with a spike of {_SPIKE_FROM} to {_SPIKE_TO} times."
        )
    if not blanks:
        yield "Without blanks the limit rests on the spiked samples alone."
    elif found.from_blanks is None:
        yield "No blank read above zero, so the blanks set no limit."
    elif found.limit == found.from_blanks:
        yield "The blanks set the limit."


DETECTION_LIMIT: Final = Calculation(
    name="detection-limit",
    question="What is the least this test can tell from none?",
    subject=Subject.QUALITY,
    asks=(
        Series(
            name="spiked",
            label="Spiked samples (all in one unit, not written)",
            unit="",
            accepted=READING,
            fewest=7,
            example="0.11 0.09 0.10 0.12 0.08 0.10 0.11",
            hint="Seven or more, each through the whole method, over at least three days.",
        ),
        Series(
            name="blanks",
            label="Blanks (the same unit)",
            unit="",
            accepted=READING,
            fewest=7,
            optional=True,
            example="0.01 0.00 0.02 0.01 0.00 0.01 0.01",
        ),
    ),
    outputs=(
        Output(name="limit", label="Method detection limit", unit="", figures=2),
        Output(name="from_spikes", label="from the spiked samples", unit="", figures=2),
        Output(name="from_blanks", label="from the blanks", unit="", figures=2),
        Output(name="low", label="95 % lower bound, spiked samples", unit="", figures=2),
        Output(name="high", label="95 % upper bound, spiked samples", unit="", figures=2),
        Output(name="mean", label="Mean of the spiked samples", unit=""),
        Output(name="deviation", label="their standard deviation", unit=""),
    ),
    formula=(
        "from spiked samples: t(n − 1; 0.99) × s\n"
        "from blanks: mean + t(n − 1; 0.99) × s; the highest blank where some read nothing\n"
        "the limit is the larger of the two"
    ),
    sources=(
        _NATIONAL,
        Source(text="the rules for blanks in the same appendix", mark="memory"),
        Source(text="t and chi-square, checked with scipy", mark="computed"),
    ),
    cautions=("A reading below the limit is “below the limit”, not zero.",),
    solve=_detection_limit,
)

CALCULATIONS: Final = (DETECTION_LIMIT,)
