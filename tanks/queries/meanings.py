"""What the latest readings of a water mean here and now, by the site's own limits."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final
from uuid import UUID

from chemistry.nitrogen import Basis, to_nitrogen
from facility.rules.wording import unit_and_basis, written
from tanks.models import Cycle, Limit, Policy, Reading
from tanks.queries.cycles import open_cycles_in
from tanks.queries.policies import limits_at, policy_at, terms_of
from tanks.queries.readings import latest_before_in_waters
from tanks.queries.waters import Water
from tanks.rules import next_step
from tanks.rules.limits import UNIONISED, Bound, Read, Setting
from tanks.rules.meaning import Meaning, meaning
from tanks.rules.next_step import NextStep
from tanks.rules.values import Interval, canonical
from tanks.sockets.stocking import stocked_since

_FRESH_FOR: Final = timedelta(hours=24)
# Where brackish begins and ends, g/kg: common practice, no source.
_BRACKISH_FROM, _MARINE_FROM = 1.0, 28.0
_KIND_WORDS: Final = {"FRESH": "fresh water", "BRACKISH": "brackish water", "MARINE": "sea water"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """``judged_as`` says for which water and stage; ``cycle`` is a start-up without animals."""

    meaning: Meaning
    step: NextStep
    judged_as: str
    cycle: Cycle | None


def judgement_of(water: Water, latest: Mapping[str, Reading]) -> Judgement:
    """Judge what ``latest_in`` found for this water."""
    return judgements_of([water], {water.anchor.pk: latest})[water.anchor.pk]


def judgements_of(
    waters: Sequence[Water], latest: Mapping[UUID, Mapping[str, Reading]]
) -> dict[UUID, Judgement]:
    """Judge waters of one site at one moment, by anchor; the queries do not grow with them."""
    if not waters:
        return {}
    site, at = waters[0].anchor.site, waters[0].at
    cycles = without_animals(open_cycles_in(waters), at)
    limits, policy = list(limits_at(site, at=at)), policy_at(site, at=at)
    earlier = _previous_ph(waters, latest)
    found = {}
    for water in waters:
        pk = water.anchor.pk
        ground = _Ground(
            cycle=cycles.get(pk), limits=limits, policy=policy, previous_ph=earlier.get(pk), at=at
        )
        found[pk] = _judged(latest.get(pk, {}), ground)
    return found


def without_animals(cycles: Mapping[UUID, Cycle], at: datetime) -> dict[UUID, Cycle]:
    """Once animals are in, their limits hold, whether or not the start-up has been closed."""
    entered = stocked_since([cycle.pk for cycle in cycles.values()])
    return {
        anchor: cycle
        for anchor, cycle in cycles.items()
        if cycle.pk not in entered or entered[cycle.pk] > at
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ground:
    """What one water is judged on."""

    cycle: Cycle | None
    limits: list[Limit]
    policy: Policy | None
    previous_ph: Reading | None
    at: datetime


def _judged(latest: Mapping[str, Reading], ground: _Ground) -> Judgement:
    salinity = latest["SALINITY"].interval if "SALINITY" in latest else None
    kind = ground.cycle.water_kind if ground.cycle else kind_by(salinity)
    reads = {name: read_of(reading) for name, reading in latest.items()}
    found = meaning(reads, _bounds(kind, ground), _setting(ground))
    return Judgement(
        meaning=found,
        step=_step(reads, found, ground.cycle),
        judged_as=_judged_as(kind, ground.cycle, latest),
        cycle=ground.cycle,
    )


def _previous_ph(
    waters: Sequence[Water], latest: Mapping[UUID, Mapping[str, Reading]]
) -> dict[UUID, Reading]:
    moments = {pk: found["PH"].happened_at for pk, found in latest.items() if "PH" in found}
    before = latest_before_in_waters(waters, moments)
    return {pk: found["PH"] for pk, found in before.items() if "PH" in found}


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


def kind_by(salinity: Interval | None) -> str:
    """Return the kind of water by what its salinity last read; unread is taken as fresh."""
    salinity_g_kg = salinity.low if salinity else 0.0
    if salinity_g_kg < _BRACKISH_FROM:
        return "FRESH"
    return "BRACKISH" if salinity_g_kg < _MARINE_FROM else "MARINE"


def _judged_as(kind: str, cycle: Cycle | None, latest: Mapping[str, Reading]) -> str:
    stage = "during biofilter start-up" if cycle else "with animals"
    guess = "" if cycle or "SALINITY" in latest else " (no salinity has been read)"
    return f"{_KIND_WORDS[kind]} {stage}{guess}"


def _bounds(kind: str, ground: _Ground) -> list[Bound]:
    stage = Limit.Stage.CYCLING if ground.cycle else Limit.Stage.STOCKED
    mine = (one for one in ground.limits if (one.water_kind, one.stage) == (kind, stage))
    return [bound_of(limit) for limit in mine]


def bound_of(limit: Limit) -> Bound:
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


def _setting(ground: _Ground) -> Setting:
    hours = ground.policy.reading_fresh_hours if ground.policy else None
    return Setting(
        at=ground.at,
        fresh_for=_FRESH_FOR if hours is None else timedelta(hours=float(hours)),
        with_animals=ground.cycle is None,
        previous_ph=read_of(ground.previous_ph) if ground.previous_ph else None,
    )


def _step(reads: Mapping[str, Read], found: Meaning, cycle: Cycle | None) -> NextStep:
    if cycle is None:
        return next_step.with_animals(found)
    return next_step.starting_up(reads, terms_of(cycle.policy))
