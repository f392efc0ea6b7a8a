"""What a water's latest readings mean: limits met or not, un-ionised ammonia, a rising pH. Pure."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from facility.rules.wording import written
from tanks.rules.free_ammonia import CannotCalculate, FreeAmmonia, Given, free_ammonia
from tanks.rules.limits import (
    IN_RANGE,
    INSIDE,
    NAMES,
    UNIONISED,
    WATCH,
    Bound,
    Finding,
    Read,
    Setting,
    against,
    finding,
)
from tanks.rules.values import Interval

# pH moves that much between two good readings without meaning anything: common practice.
_PH_RISE: Final = 0.2
_PH_MEMORY: Final = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """Findings, worst first; un-ionised ammonia, or the sentence that says why it is unknown."""

    findings: tuple[Finding, ...]
    ammonia: FreeAmmonia | None
    ammonia_unknown: str


def meaning(reads: Mapping[str, Read], bounds: Iterable[Bound], setting: Setting) -> Meaning:
    """Judge the latest readings of one water against its limits."""
    ammonia, unknown = _ammonia(reads)
    found = [*_against_limits(reads, ammonia, tuple(bounds), setting)]
    if rise := _rising_ph(reads, setting):
        found.append(rise)
    order = sorted(found, key=lambda one: (one.level or WATCH + 1, one.parameter))
    return Meaning(findings=tuple(order), ammonia=ammonia, ammonia_unknown=unknown)


def held_against(
    reads: Mapping[str, Read], bounds: Iterable[Bound], setting: Setting
) -> list[Finding]:
    """The most pressing finding of each parameter; ammonia only where a limit names it."""
    bounds = tuple(bounds)
    is_asked = any(bound.parameter == UNIONISED for bound in bounds)
    ammonia = _ammonia(reads)[0] if is_asked else None
    return list(_against_limits(reads, ammonia, bounds, setting))


def ammonia_sentence(ammonia: FreeAmmonia) -> str:
    """Two figures at most: a pH out by 0.1 alone moves it by a fifth."""
    likely = ammonia.likely
    if ammonia.value.low == 0 and ammonia.value.high is not None:
        return f"Un-ionised ammonia is below {_two(ammonia.value.high)} mg/L as N."
    if likely.high is None:
        return f"Un-ionised ammonia is above {_two(likely.low)} mg/L as N."
    return (
        f"Un-ionised ammonia is about {_two(_middle(ammonia.value))} mg/L as N, "
        f"likely {_two(likely.low)} to {_two(likely.high)}."
    )


def _ammonia(reads: Mapping[str, Read]) -> tuple[FreeAmmonia | None, str]:
    missing = [INSIDE[name] for name in ("TAN", "PH", "TEMPERATURE") if name not in reads]
    if missing:
        wanted = " and ".join(missing)
        is_read = "is read" if len(missing) == 1 else "are read"
        return None, f"Un-ionised ammonia cannot be calculated before {wanted} {is_read}."
    try:
        return free_ammonia(_given(reads)), ""
    except CannotCalculate as error:
        return None, str(error)


def _given(reads: Mapping[str, Read]) -> Given:
    tan, ph, salinity = reads["TAN"], reads["PH"], reads.get("SALINITY")
    return Given(
        tan=tan.interval,
        tan_by=tan.method_kind,
        ph=ph.interval,
        ph_by=ph.method_kind,
        ph_is_total=ph.ph_is_total,
        temperature=reads["TEMPERATURE"].interval,
        salinity=salinity.interval if salinity else None,
    )


def _against_limits(
    reads: Mapping[str, Read],
    ammonia: FreeAmmonia | None,
    bounds: tuple[Bound, ...],
    setting: Setting,
) -> Iterator[Finding]:
    for parameter in NAMES:
        mine = [bound for bound in bounds if bound.parameter == parameter]
        found: list[Finding] = []
        if parameter == UNIONISED and ammonia:
            found = [_of_ammonia(ammonia, bound) for bound in mine]
        elif parameter in reads:
            compared = (against(reads[parameter], bound, reads, setting) for bound in mine)
            found = [one for one in compared if one is not None]
        yield from _worst(sorted(found, key=lambda one: one.level))


def _worst(found: list[Finding]) -> Iterator[Finding]:
    """Yield the most pressing one; that every limit is kept is worth saying once."""
    pressing = [one for one in found if one.level != IN_RANGE]
    yield from (pressing or found)[:1]


def _of_ammonia(ammonia: FreeAmmonia, bound: Bound) -> Finding:
    value, limit = ammonia.value, bound.high
    if limit is None:
        return finding(bound, IN_RANGE, "")
    if value.low > limit or (value.low > 0 and _middle(value) > limit):
        sentence = f"Un-ionised ammonia is above {bound.text}."
        return finding(bound, bound.level, sentence, value.low / limit)
    if ammonia.likely.top > limit:
        return finding(bound, WATCH, f"Un-ionised ammonia may be above {bound.text}.")
    return finding(bound, IN_RANGE, f"Un-ionised ammonia is within {bound.text}.")


def _middle(value: Interval) -> float:
    return (value.low + value.top) / 2


def _rising_ph(reads: Mapping[str, Read], setting: Setting) -> Finding | None:
    """The same TAN turns more toxic as pH rises; that is seen before any limit is."""
    ph, before, tan = reads.get("PH"), setting.previous_ph, reads.get("TAN")
    if ph is None or before is None or tan is None or ph.at - before.at > _PH_MEMORY:
        return None
    if ph.interval.low - before.interval.top < _PH_RISE or tan.interval.low <= 0:
        return None
    return Finding(
        level=1 if setting.with_animals else WATCH,
        parameter="PH",
        sentence=(
            f"pH rose from {before.text} to {ph.text} while TAN reads {tan.text}: more of it "
            "is un-ionised now."
        ),
        advice="Bring TAN down before anything raises pH further.",
        source="follows from the acid-base balance of ammonia",
        verified=True,
    )


def _two(value: float) -> str:
    """Return two figures: 0.11, 0.0086, 1.2."""
    return written(float(f"{value:.2g}"))
