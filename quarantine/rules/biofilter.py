"""Is the biofilter proven, for this feed, in this very water, and alive? Pure."""

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import Final

from facility.rules.wording import age, day_and_time, written
from quarantine.rules.known import Known, StartUp, Trial
from tanks.rules.certificates import VOLUME_TOLERANCE, Voided
from tanks.rules.requirements import NOT_MET, UNKNOWN, Evidence, Requirement, state_of

_UNSIGNED: Final = "No certified feed has been signed for this water."


def biofilter(known: Known, at: datetime) -> Iterator[Requirement]:
    """Yield what must be so of the biofilter and of the water it was proven in."""
    yield _start_up(known)
    yield _in_force(known, at)
    yield _feed(known)
    yield _passes(known)
    yield _challenge(known)
    yield _fed(known, at)
    yield _members(known)
    yield _volume(known)


def _start_up(known: Known) -> Requirement:
    code, title = "start-up", "Biofilter start-up on record"
    if known.stocked:
        return Requirement(code=code, title=title, state=NOT_MET, sentence=known.stocked)
    if not known.start_ups:
        sentence = "No biofilter start-up is open in this water; start one and prove it."
        return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence)
    shown = tuple(Evidence("Start-up", one.url) for one in known.start_ups)
    if len(known.start_ups) > 1:
        sentence = "Several start-ups share this water since a valve was opened; end all but one."
        return _row(code, title, holds=False, sentence=sentence, evidence=shown)
    begun = day_and_time(known.start_ups[0].started_at, zone=known.zone)
    return _row(code, title, holds=True, sentence=f"Begun {begun}.", evidence=shown)


def _in_force(known: Known, at: datetime) -> Requirement:
    code, title = "certificate", "Certified feed signed and in force"
    certified = known.certified
    if certified is None:
        return Requirement(code=code, title=title, state=NOT_MET, sentence=_UNSIGNED)
    if isinstance(certified.standing, Voided):
        ended = day_and_time(certified.standing.at, zone=known.zone)
        sentence = f"Void since {ended}: {certified.standing.sentence}"
        return _row(code, title, holds=False, sentence=sentence, evidence=_signed(known))
    holds = at <= certified.standing.lapses_at
    until = day_and_time(certified.standing.lapses_at, zone=known.zone)
    words = f"holds until {until} unless fed again" if holds else f"lapsed unfed {until}"
    sentence = f"The certified feed of {written(certified.feed_g_per_day)} g/day {words}."
    return _row(code, title, holds=holds, sentence=sentence, evidence=_signed(known))


def _feed(known: Known) -> Requirement:
    code, title = "declared-feed", "Declared feed within the certified feed"
    declared, certified = _declared(known), known.certified
    if declared is None or certified is None:
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=_UNSIGNED)
    proven = certified.feed_g_per_day * certified.protein_share
    wanted = declared.declared_feed_g_per_day * declared.protein_share
    sentence = (
        f"Declared {written(declared.declared_feed_g_per_day)} g/day at "
        f"{declared.protein_share:.0%} protein, certified {written(certified.feed_g_per_day)} "
        f"g/day at {certified.protein_share:.0%}."
    )
    return _row(code, title, holds=wanted <= proven, sentence=sentence, evidence=_signed(known))


def _passes(known: Known) -> Requirement:
    code, title = "passes-stand", "Passes stand after every correction"
    certified = known.certified
    if certified is None:
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=_UNSIGNED)
    holds = 0 < certified.passes == certified.standing_passes
    count = certified.corrections_since
    told = f"{count} reading{' was' if count == 1 else 's were'} corrected since the signature"
    sentence = f"Judged again, {certified.standing_passes} of {certified.passes} passes stand; "
    sentence += f"{told}." if holds or not certified.why_undone else certified.why_undone
    return _row(code, title, holds=holds, sentence=sentence, evidence=_page(known))


def _challenge(known: Known) -> Requirement:
    code, title = "latest-challenge", "Latest challenge passed"
    match known.trial:
        case None:
            sentence = "No challenge has been made in this start-up."
            return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence)
        case Trial(outcome="running", told=told):
            return _row(code, title, holds=None, sentence=told, evidence=_page(known))
        case Trial(outcome=outcome, told=told):
            holds = outcome == "passed"
            return _row(code, title, holds=holds, sentence=told, evidence=_page(known))


def _fed(known: Known, at: datetime) -> Requirement:
    code, title = "fed", "Filter fed lately"
    if known.terms is None or known.fed_at is None:
        sentence = "No ammonia dose and no feed is on record in this start-up."
        return Requirement(code=code, title=title, state=NOT_MET, sentence=sentence)
    longest = timedelta(days=known.terms.unfed_days)
    fed = f"{age(known.fed_at, now=at)}, {day_and_time(known.fed_at, zone=known.zone)}"
    sentence = f"Last fed {fed}; the policy allows {known.terms.unfed_days:g} days without."
    holds = at - known.fed_at <= longest
    return _row(code, title, holds=holds, sentence=sentence, evidence=_page(known))


def _members(known: Known) -> Requirement:
    code, title = "same-members", "Same vessels as certified"
    if known.certified is None:
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=_UNSIGNED)
    proven = known.certified.members
    added = _names(name for pk, name in known.members.items() if pk not in proven)
    gone = _names(name for pk, name in proven.items() if pk not in known.members)
    told = [f"{added} joined since" if added else "", f"{gone} left since" if gone else ""]
    changes = " and ".join(change for change in told if change)
    same = f"{_names(known.members.values())}, as when the challenges were passed."
    sentence = (
        f"{changes}; close or open the valves again, or prove this water." if changes else same
    )
    return _row(code, title, holds=not changes, sentence=sentence, evidence=_signed(known))


def _volume(known: Known) -> Requirement:
    code, title = "same-volume", "Net volume as certified"
    if known.litres is None:
        sentence = f"No volume is known for {_names(known.unmeasured)}; measure it."
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=sentence)
    if known.certified is None:
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=_UNSIGNED)
    proven_l = known.certified.litres
    holds = abs(known.litres - proven_l) <= VOLUME_TOLERANCE * proven_l
    sentence = f"{known.litres:g} L net now, {proven_l:g} L when certified; {VOLUME_TOLERANCE:.0%} "
    sentence += "either way is the same water."
    return _row(code, title, holds=holds, sentence=sentence, evidence=_signed(known))


def _declared(known: Known) -> StartUp | None:
    return known.start_ups[0] if len(known.start_ups) == 1 else None


def _page(known: Known) -> tuple[Evidence, ...]:
    return tuple(Evidence("Start-up", one.url) for one in known.start_ups)


def _signed(known: Known) -> tuple[Evidence, ...]:
    if known.certified is None:
        return ()
    when = day_and_time(known.certified.signed_at, zone=known.zone)
    url = known.start_ups[0].url if known.start_ups else None
    return (Evidence(f"Signed by {known.certified.signed_by}, {when}", url),)


def _names(names: Iterable[str]) -> str:
    return ", ".join(sorted(names))


def _row(
    code: str,
    title: str,
    *,
    holds: bool | None,
    sentence: str,
    evidence: tuple[Evidence, ...] = (),
) -> Requirement:
    state = state_of(holds=holds)
    return Requirement(code=code, title=title, state=state, sentence=sentence, evidence=evidence)
