"""When to feed a biofilter ammonia, how much, and what speaks against it.

The rule "again when TAN and nitrite are low" and its default figures are common practice, no
source; a comparison of policies in simulation found no optimiser that beats it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from chemistry.feed import (
    ALKALINITY_MEQ_PER_MG_N,
    certified_feed_g_day,
    challenge_for_feed_mg_l_n,
)
from tanks.rules.measured import Measured, latest
from tanks.rules.requirements import MET, NOT_MET, Requirement, State, state_of
from tanks.rules.terms import Terms

# Eaten-up alkalinity stops the filter before it is nil; common practice, no source.
ALKALINITY_KEPT_MEQ_L: Final = 0.5
KEEP_FED_EVERY: Final = timedelta(days=1)
_CLEAN_MG_L_N: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Redose:
    """Whether to dose now: yes, no, or not to be told; ``checks`` says why."""

    state: State
    amount_mg_l_n: float
    sentence: str
    checks: tuple[Requirement, ...]


def load_to_prove_mg_l_n(
    *, terms: Terms, feed_g_per_day: float, protein_share: float, volume_l: float
) -> float:
    """Return the challenge: the declared feed's ammonia, and never less than the policy's."""
    declared = challenge_for_feed_mg_l_n(
        feed_g_day=feed_g_per_day, volume_l=volume_l, protein_share=protein_share
    )
    return max(declared, terms.challenge_mg_l_n)


def most_feed_g_per_day(*, terms: Terms, protein_share: float, volume_l: float) -> float:
    """Return the largest feed a challenge within the TAN cap can prove in this volume."""
    return certified_feed_g_day(
        cleared_mg_l_n=terms.tan_cap_mg_l_n, volume_l=volume_l, protein_share=protein_share
    )


def redose(
    readings: Iterable[Measured], *, terms: Terms, doses_at: Iterable[datetime], at: datetime
) -> Redose:
    """Say whether the next ammonia dose is due; doubt and any veto mean no dose."""
    known = list(readings)
    dosed_at = max(doses_at, default=None)
    checks = (
        _is_low(
            "TAN", "Total ammonia nitrogen", terms.redose_tan_mg_l_n, known, dosed_at, at, terms
        ),
        _is_low("NITRITE", "Nitrite", terms.redose_nitrite_mg_l_n, known, dosed_at, at, terms),
        _stays_under_cap(known, terms),
        _has_alkalinity(known, terms),
    )
    return _advice(checks, terms)


def fed_again_by(fed_at: datetime) -> datetime:
    """Return when a certified filter is to be fed next."""
    return fed_at + KEEP_FED_EVERY


def _advice(checks: tuple[Requirement, ...], terms: Terms) -> Redose:
    against = next((check for check in checks if check.state == NOT_MET), None)
    doubt = next((check for check in checks if check.state != MET), None)
    amount = terms.dose_mg_l_n
    if against or doubt:
        worst = against or doubt
        state: State = NOT_MET if against else "unknown"
        why = worst.sentence if worst else ""
        return Redose(state=state, amount_mg_l_n=0.0, sentence=f"No dose now. {why}", checks=checks)
    sentence = f"Dose {amount:g} mg/L-N: ammonia and nitrite are low enough for the next meal."
    return Redose(state=MET, amount_mg_l_n=amount, sentence=sentence, checks=checks)


def _is_low(
    parameter: str,
    title: str,
    threshold: float,
    known: list[Measured],
    dosed_at: datetime | None,
    at: datetime,
    terms: Terms,
) -> Requirement:
    reading = latest(parameter, known)
    limit = f"{threshold:g} mg/L-N"
    code = f"{parameter.lower()}-low"
    fresh = timedelta(hours=terms.reading_fresh_hours)
    if reading is None or (dosed_at and reading.at <= dosed_at) or at - reading.at > fresh:
        sentence = f"{title} has not been read since the latest dose or lately; read it first."
        return Requirement(code=code, title=title, state="unknown", sentence=sentence)
    holds = reading.is_within(threshold)
    words = {True: "at or below", False: "above", None: "perhaps above"}[holds]
    return Requirement(
        code=code,
        title=title,
        state=state_of(holds=holds),
        sentence=f"{title} reads {reading.text}, {words} {limit}.",
    )


def _stays_under_cap(known: list[Measured], terms: Terms) -> Requirement:
    reading = latest("TAN", known)
    room = terms.tan_cap_mg_l_n - terms.dose_mg_l_n
    holds = reading.is_within(room + _CLEAN_MG_L_N) if reading else None
    after = f"with {terms.dose_mg_l_n:g} more"
    cap = f"the cap of {terms.tan_cap_mg_l_n:g} mg/L-N"
    words = {True: "stays within", False: "would pass", None: "might pass"}[holds]
    return Requirement(
        code="tan-cap",
        title="TAN cap",
        state=state_of(holds=holds),
        sentence=f"Total ammonia nitrogen {after} {words} {cap}.",
    )


def _has_alkalinity(known: list[Measured], terms: Terms) -> Requirement:
    """Nothing known of alkalinity is no veto: the daily list asks for the reading anyway."""
    reading = latest("ALKALINITY", known)
    need = terms.dose_mg_l_n * ALKALINITY_MEQ_PER_MG_N + ALKALINITY_KEPT_MEQ_L
    holds = True if reading is None else reading.reaches(need)
    told = f"reads {reading.text}" if reading else "has not been read"
    words = {True: "enough for", False: "too little for", None: "perhaps too little for"}[holds]
    return Requirement(
        code="alkalinity-budget",
        title="Alkalinity",
        state=state_of(holds=holds),
        sentence=f"Alkalinity {told}: {words} this dose, which uses up "
        f"{terms.dose_mg_l_n * ALKALINITY_MEQ_PER_MG_N:.2f} meq/L; raise it first if it is short.",
    )
