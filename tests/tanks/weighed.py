"""Builders of what the rules of proof weigh: terms, readings, trials."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from tanks.rules.defaults import POLICY
from tanks.rules.measured import Measured
from tanks.rules.proof import Trial
from tanks.rules.terms import Terms
from tests.cast import NOON

HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
READER = uuid4()
PHOTOMETER = uuid4()


def terms_of(**changes: float) -> Terms:
    """The shipped policy, changed as told."""
    names = Terms.__dataclass_fields__
    told: dict[str, Any] = {name: float(str(POLICY[name])) for name in names}
    told["passes_needed"] = int(told["passes_needed"])
    return Terms(**(told | changes))


def read(
    parameter: str,
    low: float,
    high: float | None = -1,
    *,
    at: datetime = NOON,
    method: UUID = PHOTOMETER,
    kind: str = "PHOTOMETER",
) -> Measured:
    """A reading of ``low``, or from ``low`` to ``high``; None is over range."""
    edge = low if high == -1 else high
    return Measured(
        id=uuid4(),
        parameter=parameter,
        at=at,
        people=frozenset([READER]),
        method=method,
        method_name="Photometer",
        method_kind=kind,
        low=low,
        high=edge,
        text=f"{low:g}" if edge == low else f"{low:g} to {edge}",
    )


def below(parameter: str, limit: float, *, at: datetime = NOON) -> Measured:
    return read(parameter, 0.0, limit, at=at)


def trial_of(**changes: Any) -> Trial:
    """2 mg/L-N dosed at noon, read after 45 minutes, clear after 24 hours."""
    end = NOON + 24 * HOUR
    told: dict[str, Any] = {
        "dosed_at": NOON,
        "dose_stands": True,
        "target_mg_l_n": 2.0,
        "start": read("TAN", 2.0, at=NOON + 0.75 * HOUR),
        "tan": below("TAN", 0.1, at=end),
        "nitrite": below("NITRITE", 0.1, at=end),
        "around": (read("PH", 7.9, at=end),),
        "disturbances": (),
        "terms": terms_of(),
    }
    return Trial(**(told | changes))
