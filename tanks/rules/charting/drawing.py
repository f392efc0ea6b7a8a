"""The facts of a chart, in canonical units: nitrogen in mg/L as N, alkalinity in meq/L."""

from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import Final

# One panel each, in this order; the axis says unit and basis.
PANELS: Final = {
    "TAN": "TAN, mg/L as N",
    "NITRITE": "Nitrite, mg/L as N",
    "NITRATE": "Nitrate, mg/L as N",
    "PH": "pH",
    "ALKALINITY": "Alkalinity, meq/L",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One reading, EQUAL to a value, BELOW or ABOVE one, or BETWEEN two.

    ``high`` is None over range, and the limit when below detection.
    """

    parameter: str
    at: datetime
    qualifier: str
    low: float
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something done or befallen, in the row named ``lane``; ``amount`` is written if it fits."""

    lane: str
    at: datetime
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """The forecast of one parameter at moments from now on."""

    parameter: str
    at: tuple[datetime, ...]
    p10: tuple[float, ...]
    p50: tuple[float, ...]
    p90: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPass:
    """Quantiles of the first pass; None lies past the horizon."""

    p10_at: datetime | None
    p25_at: datetime | None
    p50_at: datetime | None
    p75_at: datetime | None
    p90_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """All that is drawn.

    ``limit_mg_l_n`` is what TAN and nitrite must fall to in a challenge; ``now_word`` names the
    line at ``now``. ``until`` is the right edge where the forecast does not set it.
    """

    started_at: datetime
    now: datetime
    zone: tzinfo
    marks: tuple[Mark, ...] = ()
    acts: tuple[Act, ...] = ()
    outlooks: tuple[Outlook, ...] = ()
    first_pass: FirstPass | None = None
    limit_mg_l_n: float | None = None
    now_word: str = "now"
    until: datetime | None = None
