"""A reading held against a limit, on one scale and one basis. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from chemistry.domain import OutOfRange
from chemistry.ph_scales import nbs_above_total
from facility.rules.wording import age
from tanks.rules.values import CANONICAL_UNITS, PARAMETERS, Interval, oxygen_in

UNIONISED: Final = "UNIONISED_AMMONIA"
NAMES: Final = PARAMETERS | {UNIONISED: "Un-ionised ammonia"}
# The same in the middle of a sentence.
INSIDE: Final = {
    code: "TAN" if code == "TAN" else name[:1].lower() + name[1:] for code, name in NAMES.items()
}
IN_RANGE: Final = 0
WATCH: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A latest reading; ``text`` is its value as entered with unit and basis.

    ``share`` holds oxygen that was written in per cent of saturation, as it was written.
    """

    parameter: str
    interval: Interval
    text: str
    at: datetime
    method_kind: str
    ph_is_total: bool = False
    share: Interval | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """One limit; ``low`` and ``high`` canonical, or per cent of saturation if ``is_share``.

    ``text`` is the range as the limit writes it. Level 1 asks for action now, 2 today, 3 watch.
    """

    parameter: str
    low: float | None
    high: float | None
    is_share: bool
    text: str
    level: int
    advice: str
    source: str
    verified: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing the readings say. Level 0 is in range, 1 act now, 2 today, 3 watch."""

    level: int
    parameter: str
    sentence: str
    advice: str = ""
    source: str = ""
    verified: bool = False
    times_over: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """When the readings are judged, and what stands around them."""

    at: datetime
    fresh_for: timedelta
    with_animals: bool
    previous_ph: Read | None = None


def against(
    read: Read, bound: Bound, reads: Mapping[str, Read], setting: Setting
) -> Finding | None:
    """Compare one reading with one limit; None when the two cannot be compared."""
    pair = on_one_scale(read, bound, reads)
    if pair is None:
        return None
    said, low, high = pair
    what = (
        f"{NAMES[read.parameter]} {read.text}{_as_the_limit(read, bound)}{_how_old(read, setting)}"
    )
    if high is not None and said.low > high:
        return finding(bound, bound.level, f"{what} is above {bound.text}.", said.low / high)
    if low is not None and said.top < low:
        return finding(bound, bound.level, f"{what} is below {bound.text}.")
    if (high is not None and said.top > high) or (low is not None and said.low < low):
        return finding(bound, WATCH, f"{what} leaves open whether it is within {bound.text}.")
    return finding(bound, IN_RANGE, f"{what} is within {bound.text}.")


def on_one_scale(
    read: Read, bound: Bound, reads: Mapping[str, Read]
) -> tuple[Interval, float | None, float | None] | None:
    if read.parameter == "PH" and read.ph_is_total:
        return _on_nbs(read, reads), bound.low, bound.high
    if read.parameter != "OXYGEN" or (read.share is None and not bound.is_share):
        return read.interval, bound.low, bound.high
    if read.share is not None and bound.is_share:
        return read.share, bound.low, bound.high
    return _oxygen(read, bound, reads)


def _on_nbs(read: Read, reads: Mapping[str, Read]) -> Interval:
    """Limits are written for NBS pH, which in sea water stands above the total scale."""
    temperature, salinity = reads.get("TEMPERATURE"), reads.get("SALINITY")
    if temperature is None or salinity is None:
        return read.interval
    try:
        above = nbs_above_total(
            temperature_c=temperature.interval.low, salinity_g_kg=salinity.interval.low
        )
    except OutOfRange:
        return read.interval
    high = read.interval.high
    return Interval(read.interval.low + above, None if high is None else high + above)


def _oxygen(
    read: Read, bound: Bound, reads: Mapping[str, Read]
) -> tuple[Interval, float | None, float | None] | None:
    """Bring per cent and mg/L together; that needs the temperature."""
    temperature, salinity = reads.get("TEMPERATURE"), reads.get("SALINITY")
    if temperature is None:
        return None
    salinity_g_kg = salinity.interval.low if salinity else 0.0

    def mg_l(share: Interval) -> Interval:
        return oxygen_in(share, temperature_c=temperature.interval.low, salinity_g_kg=salinity_g_kg)

    try:
        said = read.interval if read.share is None else mg_l(read.share)
        edges = [
            edge if edge is None or not bound.is_share else mg_l(Interval(edge, edge)).low
            for edge in (bound.low, bound.high)
        ]
    except OutOfRange:
        return None
    return said, edges[0], edges[1]


def finding(bound: Bound, level: int, sentence: str, times_over: float = 0.0) -> Finding:
    return Finding(
        level=level,
        parameter=bound.parameter,
        sentence=sentence,
        advice=bound.advice if level not in {IN_RANGE, WATCH} or bound.level == WATCH else "",
        source=bound.source,
        verified=bound.verified,
        times_over=times_over,
    )


def _as_the_limit(read: Read, bound: Bound) -> str:
    """The reading in the limit's unit where it was written in another."""
    unit = CANONICAL_UNITS.get(read.parameter, "")
    told = unit and unit in bound.text and unit not in read.text and read.interval.is_exact
    return f" ({read.interval.low:.3g} {unit})" if told else ""


def _how_old(read: Read, setting: Setting) -> str:
    is_fresh = setting.at - read.at <= setting.fresh_for
    return "" if is_fresh else f" ({age(read.at, now=setting.at)})"
