"""When a record shows that a water was not ready yet, whether or not anybody challenged it."""

import json
from collections.abc import Mapping
from typing import Any, Final

from chemistry.cycling import AmmoniumDose, Case, Feed, Reading, read_case

_ALMOST: Final = 0.9


def not_ready_h(case: Mapping[str, Any], *, until_h: float) -> float:
    """Return the latest hour at which a challenge would have failed; 0 if nothing shows one.

    A reading over the limit, with nothing added for about the window before it, says so of the
    moment its window began. Readings after ``until_h`` are left out.
    """
    known = read_case(json.dumps(case), fewest_tan_readings=0)
    shown = (_failed_from_h(known, reading) for reading in known.readings)
    return max((at_h for at_h in shown if at_h is not None and at_h < until_h), default=0.0)


def _failed_from_h(case: Case, reading: Reading) -> float | None:
    limits = {
        "tan": case.ready.tan_limit_mg_l_n,
        "nitrite": case.ready.nitrite_limit_mg_l_n,
    }
    if reading.parameter not in limits or reading.span.low <= limits[reading.parameter]:
        return None
    fed_h = _last_fed_h(case, before_h=reading.t_h)
    if reading.t_h - fed_h < _ALMOST * case.ready.window_h:
        return None
    return max(fed_h, reading.t_h - case.ready.window_h)


def _last_fed_h(case: Case, *, before_h: float) -> float:
    fed = (
        event.t_h
        for event in case.events
        if isinstance(event, AmmoniumDose | Feed) and event.t_h < before_h
    )
    return max(fed, default=0.0)
