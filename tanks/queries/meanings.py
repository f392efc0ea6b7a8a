"""What the latest readings of a water mean here and now, by the site's own limits."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from typing import Final

from chemistry.nitrogen import Basis, to_nitrogen
from facility.rules.wording import unit_and_basis, written
from tanks.models import Cycle, Limit, Reading
from tanks.queries.policies import limits_at, policy_at, terms_of
from tanks.queries.readings import latest_before
from tanks.queries.waters import Water
from tanks.rules import next_step
from tanks.rules.limits import UNIONISED, Bound, Read, Setting
from tanks.rules.meaning import Meaning, meaning
from tanks.rules.next_step import NextStep
from tanks.rules.values import Interval, canonical

_FRESH_FOR: Final = timedelta(hours=24)
# Where brackish begins and ends, g/kg: common practice, no source.
_BRACKISH_FROM, _MARINE_FROM = 1.0, 28.0
_KIND_WORDS: Final = {"FRESH": "fresh water", "BRACKISH": "brackish water", "MARINE": "sea water"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """``judged_as`` says for which water and stage; ``cycle`` is the open start-up, if any."""

    meaning: Meaning
    step: NextStep
    judged_as: str
    cycle: Cycle | None


def judgement_of(water: Water, latest: Mapping[str, Reading]) -> Judgement:
    """Judge what ``latest_in`` found for this water."""
    cycle = open_cycle(water)
    kind = cycle.water_kind if cycle else _kind_by(latest.get("SALINITY"))
    reads = {name: read_of(reading) for name, reading in latest.items()}
    found = meaning(reads, _bounds(water, kind, cycle), _setting(water, latest, cycle))
    return Judgement(
        meaning=found,
        step=_step(reads, found, cycle),
        judged_as=_judged_as(kind, cycle, latest),
        cycle=cycle,
    )


def open_cycle(water: Water) -> Cycle | None:
    """The start-up that was open in this water at its moment."""
    begun = Cycle.objects.filter(vessel__in=water.member_ids, started_at__lte=water.at)
    standing = begun.exclude(ended_at__lte=water.at).select_related("policy", "vessel")
    return standing.order_by("-started_at", "pk").first()


def read_of(reading: Reading) -> Read:
    """The reading as the rules judge it."""
    value, upper = float(reading.value), reading.upper
    share = Interval(value, value if upper is None else float(upper))
    return Read(
        parameter=reading.parameter,
        interval=reading.interval,
        text=reading_text(reading),
        at=reading.happened_at,
        method_kind=reading.method.kind,
        ph_is_total=reading.basis == "TOTAL",
        share=share if reading.unit == "%" else None,
    )


def reading_text(reading: Reading) -> str:
    """Value as entered, unit and basis; pH has none worth saying beside its name."""
    if reading.unit == "pH":
        return reading.as_entered + (" (total scale)" if reading.basis == "TOTAL" else "")
    return f"{reading.as_entered} {unit_and_basis(reading.unit, reading.basis)}"


def _kind_by(salinity: Reading | None) -> str:
    salinity_g_kg = salinity.interval.low if salinity else 0.0
    if salinity_g_kg < _BRACKISH_FROM:
        return "FRESH"
    return "BRACKISH" if salinity_g_kg < _MARINE_FROM else "MARINE"


def _judged_as(kind: str, cycle: Cycle | None, latest: Mapping[str, Reading]) -> str:
    stage = "during biofilter start-up" if cycle else "with animals"
    guess = "" if cycle or "SALINITY" in latest else " (no salinity has been read)"
    return f"{_KIND_WORDS[kind]} {stage}{guess}"


def _bounds(water: Water, kind: str, cycle: Cycle | None) -> Iterable[Bound]:
    stage = Limit.Stage.CYCLING if cycle else Limit.Stage.STOCKED
    limits = limits_at(water.anchor.site, at=water.at).filter(water_kind=kind, stage=stage)
    return [_bound(limit) for limit in limits]


def _bound(limit: Limit) -> Bound:
    return Bound(
        parameter=limit.parameter,
        low=_edge(limit, limit.low),
        high=_edge(limit, limit.high),
        is_share=limit.unit == "%",
        text=_limit_text(limit),
        level=limit.level,
        advice=limit.advice,
        source=_source(limit),
        verified=limit.is_verified,
    )


def _edge(limit: Limit, edge: Decimal | None) -> float | None:
    if edge is None or limit.unit == "%":
        return None if edge is None else float(edge)
    parameter = "TAN" if limit.parameter == UNIONISED else limit.parameter
    return canonical(parameter, "EQUAL", edge, None, limit.unit, limit.basis).low


def _limit_text(limit: Limit) -> str:
    unit = "" if limit.unit == "pH" else f" {unit_and_basis(limit.unit, limit.basis)}"
    if limit.low is None:
        return f"{written(limit.high)}{unit}{_as_nitrogen(limit)}"
    if limit.high is None:
        return f"{written(limit.low)}{unit}"
    return f"{written(limit.low)} to {written(limit.high)}{unit}"


def _as_nitrogen(limit: Limit) -> str:
    """Where a limit counts the ion, say what it is as N too, so that nobody compares the two."""
    if limit.basis not in set(Basis) or limit.basis == Basis.N or limit.high is None:
        return ""
    as_n = to_nitrogen(float(limit.high), basis=Basis(limit.basis))
    return f" ({written(float(f'{as_n:.2g}'))} as N)"


def _source(limit: Limit) -> str:
    parts = [limit.source, limit.edition, limit.jurisdiction]
    return ", ".join(part for part in parts if part)


def _setting(water: Water, latest: Mapping[str, Reading], cycle: Cycle | None) -> Setting:
    policy = policy_at(water.anchor.site, at=water.at)
    return Setting(
        at=water.at,
        fresh_for=timedelta(hours=float(policy.reading_fresh_hours)) if policy else _FRESH_FOR,
        with_animals=cycle is None,
        previous_ph=_previous(water, latest.get("PH")),
    )


def _previous(water: Water, ph: Reading | None) -> Read | None:
    if ph is None:
        return None
    before = latest_before(water.anchor, at=ph.happened_at).get("PH")
    return read_of(before) if before else None


def _step(reads: Mapping[str, Read], found: Meaning, cycle: Cycle | None) -> NextStep:
    if cycle is None:
        return next_step.with_animals(found)
    return next_step.starting_up(reads, terms_of(cycle.policy))
