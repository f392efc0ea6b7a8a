"""May these animals enter this water? Beside the proof of its filter, all at once. Pure.

Order of stocking, months a water must have run and how fast values may change with animals:
common practice; figures come from the species' sheet and the site's policy.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from math import ceil
from typing import Final

from facility.rules.wording import day_and_time, written
from tanks.rules.measured import Measured
from tanks.rules.requirements import Evidence, Requirement, state_of

# In 24 h with tropical fish at most +2 °C or -1 °C, as quoted from a maintenance handout;
# pH and salinity: common practice, no source. Down goes faster for most bony fish.
STEPS: Final = (
    ("TEMPERATURE", "Temperature", "°C", 2.0, 1.0),
    ("SALINITY", "Salinity", "g/kg", 1.5, 3.0),
    ("PH", "pH", "", 0.3, 0.3),
)
_SLIVER: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """What the species' sheet asks of a parameter; None is not known."""

    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entering:
    """What is known of a water that already has animals, or of any beyond its first gate.

    ``proof`` is the sentence on the certified feed and ``is_proven`` whether it holds. Feed is
    in g/day of the certificate's protein. ``quarantined`` are lots in it that still wait.
    ``before`` are planned entries that come first in order, ``after`` lots in it that should
    have come later.
    """

    zone: tzinfo
    name: str
    is_same_water: bool
    holds: tuple[Evidence, ...]
    proof: str
    is_proven: bool
    certified_g_per_day: float | None
    present_g_per_day: float
    more_g_per_day: float
    percent_allowed: int
    rank_here: int
    rank_there: int
    quarantined: tuple[str, ...]
    here: dict[str, Measured]
    there: dict[str, Measured]
    ranges: dict[str, Range]
    before: tuple[str, ...]
    after: tuple[str, ...]
    runs_since: datetime | None
    may_enter_on: date | None
    months_run: int | None


def requirements(known: Entering, at: datetime) -> list[Requirement]:
    """Return every condition on the destination, each judged."""
    return [
        _other_water(known),
        _holds(known),
        _rank(known),
        _quarantine(known),
        _waters(known),
        _order(known),
        _months(known, at),
        _feed(known),
    ]


def proof(known: Entering) -> Requirement:
    """The filter of a water stocked before; the first animals' gate asks more than this."""
    title = "Certified feed of the destination in force"
    return _row("certificate", title, holds=known.is_proven, sentence=known.proof)


def acclimation(known: Entering) -> list[str]:
    """Return what must be brought nearer step by step, in words."""
    return [told for told in (_step(known, *one) for one in STEPS) if told]


def _other_water(known: Entering) -> Requirement:
    sentence = (
        f"They go to {known.name}."
        if not known.is_same_water
        else (f"{known.name} shares the water they are in; a release leads into another one.")
    )
    title = "Another water"
    return _row("other-water", title, holds=not known.is_same_water, sentence=sentence)


def _holds(known: Entering) -> Requirement:
    count = len(known.holds)
    sentence = f"{count} must be lifted first." if count else "None."
    title = "No hold on the destination"
    return _row("destination-holds", title, holds=not count, sentence=sentence, shown=known.holds)


def _rank(known: Entering) -> Requirement:
    holds = known.rank_there <= known.rank_here
    words = "no dirtier than" if holds else "dirtier than"
    sentence = f"Hygiene rank {known.rank_there} there is {words} rank {known.rank_here} here."
    return _row("hygiene", "Not into a dirtier area", holds=holds, sentence=sentence)


def _quarantine(known: Entering) -> Requirement:
    count = len(known.quarantined)
    sentence = (
        f"{', '.join(known.quarantined)} still wait{'s' if count == 1 else ''} there: entering "
        "would begin their days anew, and those of who enters."
        if count
        else "Nobody there still waits."
    )
    title = "No quarantine under way there"
    return _row("destination-clock", title, holds=not count, sentence=sentence)


def _waters(known: Entering) -> Requirement:
    """Unread means unknown; out of the species' range means no; the rest is acclimation."""
    code, title = "waters", "Waters compared"
    unread = [
        f"{name.lower()} {where}"
        for parameter, name, *_ in STEPS
        for where, read in (("here", known.here), ("there", known.there))
        if parameter not in read and not _is_fresh_both(parameter, known)
    ]
    outside = [told for told in (_outside(known, *one[:3]) for one in STEPS) if told]
    shown = [
        Evidence(f"{name}: {_text(known.here, key)} here, {_text(known.there, key)} there")
        for key, name, *_ in STEPS
    ]
    if outside:
        return _row(code, title, holds=False, sentence=" ".join(outside), shown=shown)
    if unread:
        sentence = f"Not read lately: {', '.join(unread)}."
        return _row(code, title, holds=None, sentence=sentence, shown=shown)
    steps = acclimation(known)
    sentence = f"Acclimate: {'; '.join(steps)}." if steps else "Near enough without steps."
    return _row(code, title, holds=True, sentence=sentence, shown=shown)


def _is_fresh_both(parameter: str, known: Entering) -> bool:
    """Nobody weighs the salt of fresh water: where neither side has it, it is not asked for."""
    return parameter == "SALINITY" and not ({parameter} & {*known.here, *known.there})


def _outside(known: Entering, parameter: str, name: str, unit: str) -> str:
    reading, wanted = known.there.get(parameter), known.ranges.get(parameter)
    if reading is None or wanted is None:
        return ""
    too_low = wanted.low is not None and reading.reaches(wanted.low) is False
    too_high = wanted.high is not None and reading.is_within(wanted.high) is False
    if not (too_low or too_high):
        return ""
    edge = f"at least {wanted.low:g}" if too_low else f"at most {wanted.high:g}"
    return (
        f"{name} there reads {reading.text}; the species' sheet asks for {edge} {unit}".strip()
        + "."
    )


def _step(known: Entering, parameter: str, name: str, unit: str, up: float, down: float) -> str:
    here, there = known.here.get(parameter), known.there.get(parameter)
    if here is None or there is None:
        return ""
    gap = there.low - here.low
    most = up if gap > 0 else down
    if abs(gap) <= most + _SLIVER:
        return ""
    days = ceil(abs(gap) / most - _SLIVER)
    return f"{name} {gap:+.2g} {unit} over {days} days, at most {most:g} a day".replace("  ", " ")


def _text(read: dict[str, Measured], parameter: str) -> str:
    return read[parameter].text if parameter in read else "not read"


def _order(known: Entering) -> Requirement:
    code, title = "order", "Order of stocking"
    if known.before:
        sentence = f"First in order, and not in yet: {', '.join(known.before)}."
        return _row(code, title, holds=False, sentence=sentence)
    sentence = "Nothing planned comes before them."
    if known.after:
        sentence += f" Watch {', '.join(known.after)}, which by their sheets resent newcomers."
    return _row(code, title, holds=True, sentence=sentence)


def _months(known: Entering, at: datetime) -> Requirement:
    code, title = "months-run", "The water has run long enough"
    if not known.months_run:
        return _row(code, title, holds=True, sentence="The species' sheet asks for no time.")
    if known.runs_since is None or known.may_enter_on is None:
        return _row(code, title, holds=None, sentence="Since when it runs is not on record.")
    holds = at.astimezone(known.zone).date() >= known.may_enter_on
    begun = day_and_time(known.runs_since, zone=known.zone)
    full = f"{known.months_run} months are full on {known.may_enter_on:%d %b %Y}"
    sentence = f"It runs since {begun}; {full}."
    return _row(code, title, holds=holds, sentence=sentence)


def _feed(known: Entering) -> Requirement:
    code, title = "feed", "Feed within the certified feed"
    certified = known.certified_g_per_day
    if certified is None:
        return _row(code, title, holds=None, sentence="No certified feed is known.")
    after = known.present_g_per_day + known.more_g_per_day
    allowed = certified * known.percent_allowed / 100
    sentence = (
        f"{written(known.present_g_per_day)} g/day now and {written(known.more_g_per_day)} more; "
        f"{known.percent_allowed} % of {written(certified)} g/day may be fed now."
    )
    return _row(code, title, holds=after <= allowed + _SLIVER, sentence=sentence)


def _row(
    code: str,
    title: str,
    *,
    holds: bool | None,
    sentence: str,
    shown: Iterable[Evidence] = (),
) -> Requirement:
    return Requirement(
        code=code,
        title=title,
        state=state_of(holds=holds),
        sentence=sentence,
        evidence=tuple(shown),
    )
