"""How far a start-up has come, told by its readings and never by the calendar."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Final

from tanks.rules.certificates import InForce, Standing, Voided
from tanks.rules.measured import Measured, latest, of
from tanks.rules.terms import Terms

# A fall smaller than a kit's error is no fall (see rules.proof); common practice, no source.
CLEAR_FALL: Final = 0.8
# So many readings over so long without a clear fall are a stall; common practice, no source.
STALL_READINGS: Final = 3
STALL_FOR: Final = timedelta(days=1, hours=18)
STALL_WINDOW: Final = timedelta(days=4)


class Code(StrEnum):
    PREPARING = "preparing"
    AMMONIA_UNSEEN = "ammonia-unseen"
    AMMONIA_FALLING = "ammonia-falling"
    STALLED = "stalled"
    NITRITE_STANDING = "nitrite-standing"
    CLEARING = "clearing"
    PROVEN = "proven"
    LAPSED = "lapsed"


TITLES: Final = {
    Code.PREPARING: "Preparing",
    Code.AMMONIA_UNSEEN: "Ammonia oxidation not seen yet",
    Code.AMMONIA_FALLING: "Ammonia falling",
    Code.STALLED: "Stalled",
    Code.NITRITE_STANDING: "Nitrite standing",
    Code.CLEARING: "Clearing both",
    Code.PROVEN: "Proven",
    Code.LAPSED: "Lapsed",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    code: Code
    title: str
    sentence: str


def stage(
    readings: Iterable[Measured],
    *,
    doses_at: Iterable[datetime],
    changes_at: Iterable[datetime],
    certificate: Standing | None,
    terms: Terms,
) -> Stage:
    """Return the stage. A fall counts only between doses and water changes, which mask it."""
    match certificate:
        case InForce():
            return _stage(Code.PROVEN, "A certified feed is in force; keep the filter fed.")
        case Voided(sentence=sentence):
            return _stage(Code.LAPSED, f"The certified feed is void. {sentence}")
    doses = sorted(doses_at)
    if not doses:
        return _stage(Code.PREPARING, "No ammonia has been dosed yet.")
    known = [one for one in readings if one.at > doses[0]]
    return _by_readings(known, [*doses, *changes_at], terms)


def _by_readings(known: list[Measured], breaks: Sequence[datetime], terms: Terms) -> Stage:
    tan, nitrite = latest("TAN", known), latest("NITRITE", known)
    if tan is None:
        return _stage(Code.AMMONIA_UNSEEN, "TAN has not been read since the first dose.")
    if not _oxidised(known, breaks, terms):
        sentence = f"TAN reads {tan.text}: no fall between doses yet, and no nitrite."
        return _stage(Code.AMMONIA_UNSEEN, sentence)
    limit = terms.challenge_limit_mg_l_n
    if tan.is_within(limit) and nitrite is not None and nitrite.is_within(limit):
        sentence = f"TAN reads {tan.text} and nitrite {nitrite.text}, both within {limit:g} mg/L-N."
        return _stage(Code.CLEARING, sentence)
    if stalled := _stalled(of("TAN", known), breaks, limit):
        days = round(stalled / timedelta(days=1))
        sentence = f"TAN was being oxidised and has stood at {tan.text} for {days} days."
        return _stage(Code.STALLED, sentence)
    was_low = any(one.is_within(terms.redose_tan_mg_l_n) for one in of("TAN", known))
    if was_low and nitrite is not None and nitrite.is_within(limit) is not True:
        sentence = f"TAN is being oxidised, nitrite still reads {nitrite.text}."
        return _stage(Code.NITRITE_STANDING, sentence)
    return _stage(Code.AMMONIA_FALLING, f"TAN is being oxidised and reads {tan.text}.")


def _oxidised(known: list[Measured], breaks: Sequence[datetime], terms: Terms) -> bool:
    """Nitrite comes from nowhere else; or TAN fell clearly while nothing else could lower it."""
    nitrite_seen = any(
        one.is_within(terms.challenge_limit_mg_l_n) is False for one in of("NITRITE", known)
    )
    tans = of("TAN", known)
    return nitrite_seen or any(_fell(one, other, breaks) for one, other in pairwise(tans))


def _stalled(
    tans: Sequence[Measured], breaks: Sequence[datetime], limit: float
) -> timedelta | None:
    """Return how long TAN has stood above the limit without a clear fall, if for days."""
    newest = tans[-1]
    begin = max([newest.at - STALL_WINDOW, *(moment for moment in breaks if moment < newest.at)])
    run = [one for one in tans if one.at >= begin]
    stood = newest.at - run[0].at
    fell = any(_fell(one, newest, breaks) for one in run[:-1])
    is_still = len(run) >= STALL_READINGS and stood >= STALL_FOR and not fell
    return stood if is_still and newest.is_within(limit) is False else None


def _fell(one: Measured, other: Measured, breaks: Sequence[datetime]) -> bool:
    if any(one.at <= moment < other.at for moment in breaks) or other.high is None:
        return False
    return other.high < one.low * CLEAR_FALL


def _stage(code: Code, sentence: str) -> Stage:
    return Stage(code=code, title=TITLES[code], sentence=sentence)
