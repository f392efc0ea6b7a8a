"""A case forecast under two plans, as plain values to keep."""

import json
from dataclasses import asdict
from typing import Any, Final, NamedTuple

from chemistry.cycling import BadCase as BadCase
from chemistry.cycling import Bands, Forecast, answer, forecast_case, read_case

_FIGURES: Final = 4


class Answers(NamedTuple):
    """``as_planned`` answers cycle-case/1, with the sentence of sureness and bands over time."""

    as_planned: dict[str, Any]
    unbuffered: dict[str, Any]


def answers_to(case: dict[str, Any]) -> Answers:
    """Forecast a case; it takes a second or so.

    Raises:
        BadCase
    """
    made = forecast_case(read_case(json.dumps(case), fewest_tan_readings=0))
    return Answers(as_planned=as_planned(made), unbuffered=asdict(made.unbuffered))


def as_planned(made: Forecast) -> dict[str, Any]:
    return {
        **answer(made),
        "pass_now": made.pass_now,
        "sureness": made.sureness,
        "bands": _rounded(made.bands),
    }


def _rounded(bands: Bands) -> dict[str, Any]:
    """Drop the digits nobody can see: a forecast is kept for good, in the ledger as well."""
    told: dict[str, Any] = json.loads(json.dumps(asdict(bands)), parse_float=_figures)
    return told


def _figures(digits: str) -> float:
    return float(f"{float(digits):.{_FIGURES}g}")
