"""May these animals leave quarantine? Everything that keeps them in, all at once. Pure.

What a release asks is common practice, and the figures in it are the site's own policy. Days
since the last entry into the shared water: Industry Advice Notice 41-2025 (Australia). Which
checks were done is said, never that animals are free of anything. Waiting adds no hindrance:
only new facts do.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from facility.rules.wording import day_and_time
from quarantine.rules.clocks import Clock
from quarantine.rules.stays import Asked, PolicyValues
from tanks.rules.requirements import MET, NOT_MET, UNKNOWN, Evidence, Requirement, state_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """A course of treatment of the water they are in, or were in."""

    name: str
    ended_at: datetime | None
    cleared_at: datetime | None
    url: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Somebody looked at the tank; ``has_signs`` covers breathing as well."""

    at: datetime
    ate: bool | None
    has_signs: bool
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """What is known of the animals of one lot in one vessel that are to leave it.

    ``wanted`` of ``count`` are to go. ``asked`` is what asks for days. ``looks`` are in order
    of time. ``awaited`` are results not in, ``found`` what was found and not looked for again.
    ``papers_wanted`` says why papers are asked for, ``papers`` which are on record.
    """

    zone: tzinfo
    policy: PolicyValues
    count: int
    wanted: int
    clock: Clock
    is_settled: bool
    asked: tuple[Asked, ...]
    holds: tuple[Evidence, ...]
    courses: tuple[Treated, ...]
    deaths_at: tuple[datetime, ...]
    looks: tuple[Look, ...]
    awaited: tuple[str, ...]
    found: tuple[str, ...]
    papers_wanted: str
    papers: tuple[str, ...]


def requirements(known: Leaving, at: datetime) -> list[Requirement]:
    """Return every condition for leaving, each judged with its evidence."""
    return [
        _count(known),
        _holds(known),
        _days(known, at),
        _cycles(known),
        _courses(known, at),
        _deaths(known, at),
        _feeding(known),
        _signs(known),
        _results(known),
        _papers(known),
    ]


def _count(known: Leaving) -> Requirement:
    holds = 0 < known.wanted <= known.count
    sentence = f"{known.wanted} to leave; by the book {known.count} here."
    return _row("count", "As many as are here", holds=holds, sentence=sentence)


def _holds(known: Leaving) -> Requirement:
    code, title = "holds", "No hold on the lot or its water"
    count = len(known.holds)
    sentence = f"{count} hold{'s' if count > 1 else ''} must be lifted first." if count else "None."
    return _row(code, title, holds=not count, sentence=sentence, evidence=known.holds)


def _days(known: Leaving, at: datetime) -> Requirement:
    code, title = "days", "Days since the last entry into their water"
    clock = known.clock
    shown = tuple(_asked(one) for one in known.asked if one.days is not None)
    if clock.waits:
        sentence = f"The clock stands while this has not ended: {'; '.join(clock.waits)}."
        return _row(code, title, holds=False, sentence=sentence, evidence=shown)
    if clock.ends_at is None or known.is_settled:
        sentence = "Nothing has entered their water that they would have to wait for."
        return _row(code, title, holds=True, sentence=sentence, evidence=shown)
    until = day_and_time(clock.ends_at, zone=known.zone)
    why = f" ({clock.binding.told})" if clock.binding and clock.binding.told else ""
    words = "were full on" if clock.is_over(at) else "are full on"
    sentence = f"The days {words} {until}{why}."
    return _row(code, title, holds=clock.is_over(at), sentence=sentence, evidence=shown)


def _asked(one: Asked) -> Evidence:
    mark = "" if one.is_verified else " (not verified)"
    source = f": {one.source}{mark}" if one.source else ""
    return Evidence(f"{one.days} days for {one.why}{source}")


def _cycles(known: Leaving) -> Requirement:
    code, title = "life-cycles", "Parasites' life cycles by logged temperature"
    untold = [one for one in known.asked if one.days is None]
    if untold and not known.is_settled:
        shown = tuple(Evidence(f"{one.source}") for one in untold if one.source)
        sentence = f"Cannot be told. {'; '.join(one.why for one in untold)}."
        return _row(code, title, holds=None, sentence=sentence, evidence=shown)
    sentence = "Told by the coldest day logged; they are among the days above."
    return _row(code, title, holds=True, sentence=sentence)


def _courses(known: Leaving, at: datetime) -> Requirement:
    code, title = "courses", "Courses of treatment ended and cleared"
    still = [one for one in known.courses if one.ended_at is None]
    unclear = [one for one in known.courses if one.ended_at and one.cleared_at is None]
    clear = timedelta(days=known.policy.clear_days)
    early = [one for one in known.courses if one.cleared_at and one.cleared_at + clear > at]
    shown = tuple(Evidence(one.name, one.url) for one in known.courses)
    told = [f"{one.name} is still under way." for one in still]
    told += [f"{one.name} has ended, but the water is not cleared of it." for one in unclear]
    told += [_cleared(one, clear, known.zone) for one in early]
    sentence = " ".join(told) or ("All cleared." if known.courses else "None was given here.")
    return _row(code, title, holds=not told, sentence=sentence, evidence=shown)


def _cleared(one: Treated, clear: timedelta, zone: tzinfo) -> str:
    since = one.cleared_at and day_and_time(one.cleared_at + clear, zone=zone)
    return f"{one.name} was cleared; policy waits until {since}."


def _deaths(known: Leaving, at: datetime) -> Requirement:
    code, title = "deaths", f"No death for {known.policy.quiet_days} days"
    last = max(known.deaths_at, default=None)
    if last is None:
        return _row(code, title, holds=True, sentence="No death is on record.")
    quiet = last + timedelta(days=known.policy.quiet_days)
    sentence = (
        f"The last one was on {day_and_time(last, zone=known.zone)}; "
        f"quiet enough from {day_and_time(quiet, zone=known.zone)}."
    )
    return _row(code, title, holds=quiet <= at, sentence=sentence)


def _feeding(known: Leaving) -> Requirement:
    code, title = "feeding", "Feeding"
    wanted = known.policy.feeding_looks
    offered = [one for one in known.looks if one.ate is not None]
    lately = offered[-wanted:] if wanted else []
    shown = tuple(_look(one, known.zone) for one in lately)
    if len(lately) < wanted:
        sentence = f"{len(lately)} of {wanted} looks saw whether they eat; look when feeding."
        return _row(code, title, holds=None, sentence=sentence, evidence=shown)
    holds = all(one.ate for one in lately)
    words = "They ate" if holds else "They did not always eat"
    sentence = f"{words} at the last {wanted} looks with food."
    return _row(code, title, holds=holds, sentence=sentence, evidence=shown)


def _signs(known: Leaving) -> Requirement:
    """The final look comes at the end of the stay; one made before says nothing of it."""
    code, title = "signs", "No clinical signs at the final look"
    if not known.looks:
        return _row(code, title, holds=None, sentence="Nobody has looked at them on record.")
    last = known.looks[-1]
    shown = (_look(last, known.zone),)
    since = known.clock.ends_at and known.clock.ends_at - timedelta(hours=known.policy.look_hours)
    if last.has_signs:
        sentence = "Signs were seen at the last look; ask the veterinarian."
        return _row(code, title, holds=False, sentence=sentence, evidence=shown)
    if since is not None and not known.is_settled and last.at < since:
        sentence = f"A look after {day_and_time(since, zone=known.zone)} is the final one."
        return _row(code, title, holds=None, sentence=sentence, evidence=shown)
    return _row(code, title, holds=True, sentence="None were seen.", evidence=shown)


def _look(one: Look, zone: tzinfo) -> Evidence:
    return Evidence(f"{day_and_time(one.at, zone=zone)}: {one.told}")


def _results(known: Leaving) -> Requirement:
    code, title = "results", "Results in"
    told = [f"{one} was found; look for it again." for one in known.found]
    told += [f"The result for {one} is awaited." for one in known.awaited]
    sentence = " ".join(told) or "No result is awaited, and nothing found stands open."
    return _row(code, title, holds=not told, sentence=sentence)


def _papers(known: Leaving) -> Requirement:
    code, title = "papers", "Papers"
    shown = tuple(Evidence(one) for one in known.papers)
    if not known.papers_wanted:
        return _row(code, title, holds=True, sentence="None are asked for.", evidence=shown)
    holds = bool(known.papers)
    sentence = f"{known.papers_wanted} {'On record.' if holds else 'None is on record.'}"
    return _row(code, title, holds=holds, sentence=sentence, evidence=shown)


def _row(
    code: str,
    title: str,
    *,
    holds: bool | None,
    sentence: str,
    evidence: Iterable[Evidence] = (),
) -> Requirement:
    return Requirement(
        code=code,
        title=title,
        state=state_of(holds=holds),
        sentence=sentence,
        evidence=tuple(evidence),
    )


def answer(found: Iterable[Requirement]) -> str:
    """Say the whole in one sentence."""
    states = [requirement.state for requirement in found]
    if all(state == MET for state in states):
        return f"Yes: all {len(states)} requirements are met."
    failing, unknown = states.count(NOT_MET), states.count(UNKNOWN)
    verb = "is" if failing == 1 else "are"
    return f"Not yet: {failing} of {len(states)} requirements {verb} not met, {unknown} unknown."


def hindrances(found: Iterable[Requirement]) -> Iterator[str]:
    """Yield a sentence for each requirement that keeps them in."""
    for one in found:
        if one.state != MET:
            yield f"{one.title}: {one.sentence}"
