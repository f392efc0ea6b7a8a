"""A case forecast under two plans, and what leaving them would cost, as plain values to keep."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any, Final, NamedTuple

from chemistry.cycling import BadCase as BadCase
from chemistry.cycling import (
    Bands,
    Case,
    Forecast,
    answer,
    forecast_cases,
    read_case,
    weigh_departures,
)

_FIGURES: Final = 4


class Answers(NamedTuple):
    """``as_planned`` answers cycle-case/1, with a sentence of sureness, bands and deviations."""

    as_planned: dict[str, Any]
    unbuffered: dict[str, Any]


def answers_to(case: dict[str, Any]) -> Answers:
    """Forecast a case; it takes a second or so.

    Raises:
        BadCase
    """
    return next(answers_to_all([case]))


def answers_to_all(cases: Sequence[dict[str, Any]], *, weighs: bool = True) -> Iterator[Answers]:
    """Forecast several cases at once, in order; ``weighs`` asks what leaving the plan costs.

    Raises:
        BadCase: one of them is not a case; none is forecast then.
    """
    known = [read_case(json.dumps(case), fewest_tan_readings=0) for case in cases]
    for case, made in zip(known, forecast_cases(known), strict=True):
        yield Answers(
            as_planned=as_planned(made) | ({"deviations": _deviations(case)} if weighs else {}),
            unbuffered=asdict(made.unbuffered),
        )


def as_planned(made: Forecast) -> dict[str, Any]:
    return {
        **answer(made),
        "pass_now": made.pass_now,
        "sureness": made.sureness,
        "bands": _rounded(made.bands),
    }


def _deviations(case: Case) -> list[dict[str, Any]]:
    weighed = [asdict(one) for one in weigh_departures(case)]
    told: list[dict[str, Any]] = json.loads(json.dumps(weighed), parse_float=_figures)
    return told


def _rounded(bands: Bands) -> dict[str, Any]:
    """Drop the digits nobody can see: a forecast is kept for good, in the ledger as well."""
    told: dict[str, Any] = json.loads(json.dumps(asdict(bands)), parse_float=_figures)
    return told


def _figures(digits: str) -> float:
    return float(f"{float(digits):.{_FIGURES}g}")
