"""Did a challenge pass? Judged from the readings themselves, and again when one is corrected.

A 24-hour pass, twice running, by the same methods is common practice, no source. So are the
tolerances below: mixing takes half an hour, people do not come to the minute, and methods err.
A colour kit's share follows the 12 to 28 % between kit and truth assumed in the forecast.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final
from uuid import UUID

from tanks.rules.measured import Measured, of
from tanks.rules.requirements import Evidence, Requirement, all_met, state_of
from tanks.rules.terms import Terms

MIXED_AFTER: Final = timedelta(minutes=30)
START_BEFORE: Final = timedelta(hours=2)
WINDOW_SLACK: Final = timedelta(hours=2)
ERROR_SHARE: Final = {"COLOUR_KIT": 0.20, "PHOTOMETER": 0.10, "PROBE": 0.10, "TITRATION": 0.10}
# Nitrate kits err by a third, and nitrite disturbs many of them (from memory, unverified).
NITRATE_SHARE: Final = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A challenge with the readings that are to judge it; None where one was taken back.

    ``around`` are all readings of the water from the dose until its window closes or the next
    meal. ``disturbances`` say what else changed the water: exchanged water, valves turned.
    """

    dosed_at: datetime
    dose_stands: bool
    target_mg_l_n: float
    start: Measured | None
    tan: Measured | None
    nitrite: Measured | None
    around: tuple[Measured, ...]
    disturbances: tuple[str, ...]
    terms: Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What the rule makes of a trial; ``notes`` weigh nothing.

    ``left_over`` tells that the load was no larger than it should be and yet not cleared:
    that is more than no proof, it speaks against the filter.
    """

    passed: bool
    left_over: bool
    findings: tuple[Requirement, ...]
    notes: tuple[str, ...]
    load_mg_l_n: float
    tan_method: UUID | None
    nitrite_method: UUID | None
    readers: frozenset[UUID]

    @property
    def why_not(self) -> str:
        """The first thing that keeps it from passing, or nothing."""
        return next((one.sentence for one in self.findings if one.state != "met"), "")


def judge(trial: Trial) -> Judgement:
    """Weigh a trial; only what every reading proves is a pass."""
    findings = (
        _start(trial),
        _cleared(trial, trial.tan, "tan-cleared", "Total ammonia nitrogen"),
        _cleared(trial, trial.nitrite, "nitrite-cleared", "Nitrite"),
        _ph(trial),
        _undisturbed(trial),
    )
    judging = [reading for reading in (trial.start, trial.tan, trial.nitrite) if reading]
    return Judgement(
        passed=all_met(findings),
        left_over=_left_over(trial),
        findings=findings,
        notes=tuple(_nitrate_note(trial)),
        load_mg_l_n=min(trial.target_mg_l_n, trial.start.low if trial.start else 0.0),
        tan_method=trial.tan.method if trial.tan else None,
        nitrite_method=trial.nitrite.method if trial.nitrite else None,
        readers=frozenset().union(*(reading.people for reading in judging)),
    )


def ends_at(dosed_at: datetime, terms: Terms) -> datetime:
    """Return when the end readings are due."""
    return dosed_at + timedelta(hours=terms.challenge_hours)


def _start(trial: Trial) -> Requirement:
    code, title = "start-reached", "Load after mixing"
    reading = trial.start
    if reading is None or not trial.dose_stands:
        gone = "The dose was withdrawn." if reading else "There is no start reading that stands."
        return Requirement(code=code, title=title, state="not-met", sentence=gone)
    waited = reading.at - trial.dosed_at
    if not MIXED_AFTER <= waited <= START_BEFORE:
        sentence = (
            "The start reading was not taken between half an hour and two hours after the dose."
        )
        return _row(code, title, holds=False, sentence=sentence, readings=[reading])
    share = 1 - ERROR_SHARE.get(reading.method_kind, 0.0)
    holds = reading.reaches(trial.target_mg_l_n * share)
    words = {True: "reaches", False: "falls short of", None: "cannot be told from"}[holds]
    sentence = f"TAN after mixing reads {reading.text}, which {words} {trial.target_mg_l_n:.3g} "
    sentence += f"mg/L-N within the method's error of {1 - share:.0%}."
    return _row(code, title, holds=holds, sentence=sentence, readings=[reading])


def _cleared(trial: Trial, reading: Measured | None, code: str, title: str) -> Requirement:
    if reading is None:
        sentence = f"There is no end reading of {title.lower()} that stands."
        return Requirement(code=code, title=title, state="not-met", sentence=sentence)
    due = ends_at(trial.dosed_at, trial.terms)
    if abs(reading.at - due) > WINDOW_SLACK:
        hours = trial.terms.challenge_hours
        sentence = f"{title} was not read {hours:g} hours after the dose, two hours either way."
        return _row(code, title, holds=False, sentence=sentence, readings=[reading])
    limit = trial.terms.challenge_limit_mg_l_n
    against = _still_high(trial, reading, due)
    holds = False if against else reading.is_within(limit)
    words = {
        True: f"at or below {limit:g} mg/L-N.",
        False: f"above {limit:g} mg/L-N.",
        None: f"and cannot be told from {limit:g} mg/L-N: use a finer method.",
    }
    seen = against or reading
    sentence = f"{title} at the end reads {seen.text}, {words[holds]}"
    return _row(code, title, holds=holds, sentence=sentence, readings=[seen])


def _still_high(trial: Trial, chosen: Measured, due: datetime) -> Measured | None:
    """A high reading past the hour, or past the chosen one, is not undone by choosing that."""
    since = min(due, chosen.at)
    others = (one for one in of(chosen.parameter, trial.around) if one.at >= since)
    limit = trial.terms.challenge_limit_mg_l_n
    return next((one for one in others if one.is_within(limit) is False), None)


def _left_over(trial: Trial) -> bool:
    start = trial.start
    if start is None or not trial.dose_stands:
        return False
    share = 1 + ERROR_SHARE.get(start.method_kind, 0.0)
    is_fair = start.is_within(trial.target_mg_l_n * share) is True
    since = ends_at(trial.dosed_at, trial.terms) - WINDOW_SLACK
    ended = [one for one in (trial.tan, trial.nitrite) if one and one.at >= since]
    limit = trial.terms.challenge_limit_mg_l_n
    return is_fair and any(one.is_within(limit) is False for one in ended)


def _ph(trial: Trial) -> Requirement:
    code, title = "ph-kept", "pH kept"
    floor = trial.terms.ph_floor
    seen = of("PH", trial.around)
    if not seen:
        sentence = "pH was not read between the dose and the end; read it with the end reading."
        return Requirement(code=code, title=title, state="unknown", sentence=sentence)
    held = [one.reaches(floor) for one in seen]
    holds = False if False in held else (None if None in held else True)
    lowest = min(seen, key=lambda one: one.low)
    words = {True: "at or above", False: "below", None: "perhaps below"}[holds]
    sentence = f"The lowest pH of the challenge reads {lowest.text}, {words} {floor:g}."
    return _row(code, title, holds=holds, sentence=sentence, readings=[lowest])


def _undisturbed(trial: Trial) -> Requirement:
    told = "Nothing but the filter took the ammonia away: no water exchanged, no valve turned."
    return Requirement(
        code="undisturbed",
        title="Same water throughout",
        state=state_of(holds=not trial.disturbances),
        sentence=trial.disturbances[0] if trial.disturbances else told,
        evidence=tuple(Evidence(sentence) for sentence in trial.disturbances),
    )


def _nitrate_note(trial: Trial) -> Iterable[str]:
    nitrates = of("NITRATE", trial.around)
    if len(nitrates) < 2 or nitrates[-1].high is None:  # noqa: PLR2004 - before and after
        return
    rise = nitrates[-1].high - nitrates[0].low
    if rise < trial.target_mg_l_n * NITRATE_SHARE:
        yield (
            f"Nitrate rose by at most {rise:.2g} mg/L-N while {trial.target_mg_l_n:.3g} mg/L-N "
            "was cleared; look at the nitrate test and at the dose."
        )
    else:
        yield "Nitrate rose by a plausible amount."


def _row(
    code: str, title: str, *, holds: bool | None, sentence: str, readings: list[Measured]
) -> Requirement:
    shown = tuple(Evidence(f"{one.text}, {one.method_name}") for one in readings)
    return Requirement(
        code=code, title=title, state=state_of(holds=holds), sentence=sentence, evidence=shown
    )
