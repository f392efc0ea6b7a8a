"""May this much ammonia go in? The cap on TAN, judged by what was read and added since. Pure.

Doubt counts against the dose: a bracket by its upper edge, and what was added after the
reading as if nothing of it had been oxidised.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from facility.rules.wording import written
from tanks.rules.values import Interval

_HAIR_MG_L_N = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The latest TAN in mg/L-N and when it was read; ``added_mg_l_n`` since, at most.

    ``is_first`` tells that no ammonia went in before.
    """

    tan: Interval | None
    read_at: datetime | None
    added_mg_l_n: float
    is_first: bool


def unread(known: Known, *, at: datetime, fresh_hours: float) -> str | None:
    """Return why TAN must be read before ammonia goes in, or None."""
    if known.tan is not None and known.tan.high is None:
        return "TAN was read over range: dilute the sample, read it again, then dose."
    if known.is_first:
        return None
    if known.tan is None or known.read_at is None:
        return "TAN has not been read in this water since it was dosed: read it first."
    if at - known.read_at > timedelta(hours=fresh_hours):
        return f"TAN was last read more than {fresh_hours:g} h before this dose: read it first."
    return None


def over_cap(known: Known, *, dose_mg_l_n: float, cap_mg_l_n: float) -> str | None:
    """Return how the dose would pass the cap, with its numbers, or None."""
    before = (known.tan.top if known.tan else 0.0) + known.added_mg_l_n
    after = before + dose_mg_l_n
    if after <= cap_mg_l_n + _HAIR_MG_L_N:
        return None
    return (
        f"TAN would come to {written(after)} mg/L-N: {_before(known)}{written(dose_mg_l_n)} from "
        f"this dose. The cap is {written(cap_mg_l_n)}: too much ammonia stalls the filter. "
        f"{_mend(known, cap_mg_l_n)}"
    )


def _before(known: Known) -> str:
    read = f"{written(known.tan.top)} read" if known.tan else ""
    added = f"up to {written(known.added_mg_l_n)} added since" if known.added_mg_l_n else ""
    return "".join(f"{part}, " for part in (read, added) if part)


def _mend(known: Known, cap_mg_l_n: float) -> str:
    if known.added_mg_l_n:
        return "Read TAN again, or dose less."
    room = cap_mg_l_n - (known.tan.top if known.tan else 0.0)
    return f"At most {written(room)} mg/L-N fits." if room > 0 else "Wait until it has fallen."
