"""What the water last read, against the site's limits and the stocking values. Pure."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import inf
from typing import Final

from facility.rules.wording import age, day_and_time
from quarantine.rules.known import Edges, Known, StartUp
from tanks.rules.measured import Measured
from tanks.rules.requirements import UNKNOWN, Evidence, Requirement, state_of

# How near to the declared stocking values the water must be; common practice, no source.
STOCKING_SLACK_C: Final = 1.0
STOCKING_SLACK_G_KG: Final = 1.0
_FRESH_UP_TO_G_KG: Final = 1.0
_ANYTHING: Final = Edges(low=None, high=None, told="")


def read(known: Known, at: datetime) -> Iterator[Requirement]:
    """Yield what the readings must say; what is old or too coarse to tell is unknown."""
    yield _cleared(known, at, "TAN", "Total ammonia nitrogen")
    yield _cleared(known, at, "NITRITE", "Nitrite")
    yield _chlorine(known, at)
    yield _within(known, at, "PH", "pH", known.edges.get("PH"))
    yield _within(known, at, "TEMPERATURE", "Temperature", _temperature(known))
    yield _salinity(known, at)
    yield _within(known, at, "OXYGEN", "Dissolved oxygen", known.edges.get("OXYGEN"))
    yield _within(known, at, "ALKALINITY", "Alkalinity", known.edges.get("ALKALINITY"))


def _cleared(known: Known, at: datetime, parameter: str, title: str) -> Requirement:
    """Within the limit with animals; or not to be told from nothing by a method that proves."""
    reading, code = known.latest.get(parameter), parameter.lower()
    if reading is None or known.terms is None or _is_old(known, reading, at):
        return _not_read(known, reading, at, code, title)
    edges = known.edges.get(parameter, _ANYTHING)
    proof = known.terms.challenge_limit_mg_l_n
    if reading.low == 0 and reading.is_within(proof):
        sentence = f"{title} reads {reading.text}: nothing seen by a method that sees as little "
        sentence += f"as the policy's {proof:g} mg/L as N."
        return _judged(known, reading, at, code, title, holds=True, sentence=sentence)
    limit = min(proof, inf if edges.high is None else edges.high)
    holds = reading.is_within(limit)
    words = {True: "within", False: "above", None: "not to be told from"}[holds]
    told = f"{limit:.3g} mg/L as N" + (f" ({edges.told})" if edges.high == limit else "")
    sentence = f"{title} reads {reading.text}, {words} {told}."
    return _judged(known, reading, at, code, title, holds=holds, sentence=sentence)


def _chlorine(known: Known, at: datetime) -> Requirement:
    code, title = "chlorine", "Total chlorine proven absent"
    reading, limit = known.latest.get("CHLORINE"), known.chlorine_limit_mg_l
    if reading is None or limit is None:
        return _not_read(known, reading, at, code, title)
    if known.treated_at is not None and reading.at < known.treated_at:
        when = day_and_time(known.treated_at, zone=known.zone)
        sentence = (
            f"Water was changed or dechlorinated {when}, after chlorine was read; read again."
        )
        return _judged(known, reading, at, code, title, holds=None, sentence=sentence)
    if _is_before_start_up(known, reading):
        sentence = "Chlorine was read before this start-up; the water may be another: read again."
        return _judged(known, reading, at, code, title, holds=None, sentence=sentence)
    holds = reading.is_within(limit)
    words = {True: "at or below", False: "above", None: "not to be told from"}[holds]
    sentence = f"Total chlorine reads {reading.text}, {words} {limit:g} mg/L as Cl₂, "
    sentence += "since the latest water change and dechlorination."
    return _judged(known, reading, at, code, title, holds=holds, sentence=sentence)


def _is_before_start_up(known: Known, reading: Measured) -> bool:
    """Water is often dechlorinated and tested the day before its start-up is put on record."""
    declared, hours = _declared(known), known.terms.reading_fresh_hours if known.terms else 0.0
    return declared is not None and reading.at < declared.started_at - timedelta(hours=hours)


def _within(
    known: Known, at: datetime, parameter: str, title: str, edges: Edges | None
) -> Requirement:
    reading, code = known.latest.get(parameter), parameter.lower()
    if reading is None or _is_old(known, reading, at):
        return _not_read(known, reading, at, code, title)
    if edges is None:
        sentence = f"{title} reads {reading.text}, but the site has no limit for it with animals."
        return _judged(known, reading, at, code, title, holds=None, sentence=sentence)
    return _against(known, reading, at, code, title, edges)


def _salinity(known: Known, at: datetime) -> Requirement:
    title, declared = "Salinity", _declared(known)
    reading = known.latest.get("SALINITY")
    if declared is None or not _never_salted(declared):
        return _within(known, at, "SALINITY", title, _salinity_edges(known))
    if reading is None:
        sentence = "Fresh water, and no salt was ever dosed."
        return Requirement(code="salinity", title=title, state="met", sentence=sentence)
    edges = _salinity_edges(known) or _ANYTHING
    return _against(known, reading, at, "salinity", title, edges)


def _against(
    known: Known, reading: Measured, at: datetime, code: str, title: str, edges: Edges
) -> Requirement:
    reaches = True if edges.low is None else reading.reaches(edges.low)
    stays = True if edges.high is None else reading.is_within(edges.high)
    holds = False if False in (reaches, stays) else (None if None in (reaches, stays) else True)
    words = {True: "within", False: "outside", None: "not to be told from"}[holds]
    sentence = f"{title} reads {reading.text}, {words} {edges.told}."
    return _judged(known, reading, at, code, title, holds=holds, sentence=sentence)


def _temperature(known: Known) -> Edges | None:
    declared = _declared(known)
    if declared is None:
        return None
    return _around(
        declared.stocking_temperature_c, STOCKING_SLACK_C, "°C", known.edges.get("TEMPERATURE")
    )


def _salinity_edges(known: Known) -> Edges | None:
    declared = _declared(known)
    if declared is None:
        return None
    return _around(
        declared.stocking_salinity_g_kg, STOCKING_SLACK_G_KG, "g/kg", known.edges.get("SALINITY")
    )


def _around(wanted: float, slack: float, unit: str, limit: Edges | None) -> Edges:
    """The declared stocking value, give or take; and never beyond the site's limit."""
    lows = [wanted - slack, *([limit.low] if limit and limit.low is not None else [])]
    highs = [wanted + slack, *([limit.high] if limit and limit.high is not None else [])]
    low, high = max(*lows, 0.0), min(highs)
    told = f"{low:g} to {high:g} {unit}, around the declared {wanted:g} {unit}"
    both = f"{told} and {limit.told}" if limit else told
    return Edges(low=low, high=high, told=both)


def _never_salted(declared: StartUp) -> bool:
    is_fresh = declared.water_kind == "FRESH" and not declared.is_salted
    return is_fresh and declared.stocking_salinity_g_kg <= _FRESH_UP_TO_G_KG


def _declared(known: Known) -> StartUp | None:
    return known.start_ups[0] if len(known.start_ups) == 1 else None


def _is_old(known: Known, reading: Measured, at: datetime) -> bool:
    hours = known.terms.reading_fresh_hours if known.terms else 0.0
    return at - reading.at > timedelta(hours=hours)


def _not_read(
    known: Known, reading: Measured | None, at: datetime, code: str, title: str
) -> Requirement:
    if reading is None:
        sentence = f"{title.removesuffix(' proven absent')} has not been read here; read it."
        return Requirement(code=code, title=title, state=UNKNOWN, sentence=sentence)
    sentence = f"Last read {age(reading.at, now=at)}: {reading.text}; read it again."
    return _judged(known, reading, at, code, title, holds=None, sentence=sentence)


def _judged(
    known: Known,
    reading: Measured,
    at: datetime,
    code: str,
    title: str,
    *,
    holds: bool | None,
    sentence: str,
) -> Requirement:
    when = f"{age(reading.at, now=at)}, {day_and_time(reading.at, zone=known.zone)}"
    text = f"{reading.text}, {reading.method_name}, {when}"
    limit = known.edges.get(reading.parameter, _ANYTHING)
    shown = Evidence(text, known.urls.get(reading.id))
    evidence = (shown, *map(Evidence, limit.sources))
    state = state_of(holds=holds)
    return Requirement(code=code, title=title, state=state, sentence=sentence, evidence=evidence)
