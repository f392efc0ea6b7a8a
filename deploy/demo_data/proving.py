"""What follows in a start-up once both are cleared: challenges, certificate, ramp, stocking."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Final
from uuid import UUID

from deploy.demo_data import entries
from deploy.demo_data.acts import Act, Weeks, ident
from deploy.demo_data.people import SECOND, VETERINARIAN
from deploy.demo_data.preparing import filled
from deploy.demo_data.startups import PLANS, Plan
from deploy.demo_data.walk import Walk
from quarantine.commands.admissions import AdmitAnimals, RecordStocking
from tanks.commands.certificates import SignCertificate
from tanks.commands.challenges import BeginChallenge, JudgeChallenge
from tanks.commands.cycles import EndCycle
from tanks.commands.ramps import PlanRamp

# More than the load to prove: a strong filter takes a share of it while it mixes.
_CHALLENGE_MG_L_N: Final = 2.4
_SOFT_MEQ_L: Final = 1.6


def started_up(weeks: Weeks) -> Iterator[Act]:
    """Every start-up, one after the other."""
    for plan in PLANS:
        yield from _walked(plan, weeks)


def _walked(plan: Plan, weeks: Weeks) -> Iterator[Act]:
    walk = Walk(plan, weeks)
    yield from filled(walk)
    for day in range(1, plan.last_day + 1):
        yield from _day(walk, day)
    if plan.given_up_on is not None:
        yield _given_up(walk, plan.given_up_on)


def _day(walk: Walk, day: int) -> Iterator[Act]:
    plan = walk.plan
    first = plan.proves_on
    if first is None or day < first:
        yield from walk.ordinary(day)
    elif day == first:
        yield from walk.sampled_then(day, feeds=False)
        yield from _challenged(walk, day)
    elif day <= first + 2:
        yield from _judged(walk, day, again=day == first + 1)
    elif day == plan.stocks_on:
        yield from _stocked(walk, day)
    else:
        yield from walk.ordinary(day)
        yield from _ramped(walk, day)
        yield from _refreshed(walk, day)


def _challenged(walk: Walk, day: int) -> Iterator[Act]:
    """One dose for the whole load, and TAN read once it has mixed."""
    name, moment = f"{day} challenge", walk.at(day, "10:30")
    yield walk.dosed(name, moment, "CHALLENGE", _CHALLENGE_MG_L_N)
    begin = BeginChallenge(
        id=ident(walk.named(f"challenge {day}")),
        cycle_id=walk.cycle_id,
        dose_id=ident(f"dose:{walk.named(name)}"),
    )
    yield Act(at=moment + timedelta(minutes=8), by=walk.keeper(), command=begin)
    yield walk.sampled(f"{day} mixed", moment + timedelta(minutes=35), "TAN")


def _judged(walk: Walk, day: int, *, again: bool) -> Iterator[Act]:
    """The end readings a day after the dose, the verdict, and the next dose or the signature."""
    moment = walk.at(day, "10:12")
    yield walk.sampled(
        f"{day} end", moment, "TAN", "NITRITE", "NITRATE", "PH", "ALKALINITY", "TEMPERATURE"
    )
    judge = JudgeChallenge(
        id=ident(walk.named(f"verdict {day}")),
        challenge_id=ident(walk.named(f"challenge {day - 1}")),
        start_id=_read(walk, f"{day - 1} mixed", "TAN"),
        tan_id=_read(walk, f"{day} end", "TAN"),
        nitrite_id=_read(walk, f"{day} end", "NITRITE"),
        happened_at=moment,
    )
    yield Act(at=moment + timedelta(minutes=9), by=walk.keeper(), command=judge)
    if again:
        yield from _challenged(walk, day)
    else:
        yield from walk.tended(day, moment)
        yield _signed(walk, day)


def _signed(walk: Walk, day: int) -> Act:
    verdicts = (ident(walk.named(f"verdict {past}")) for past in (day - 1, day))
    command = SignCertificate(
        id=ident(walk.named("certificate")),
        cycle_id=walk.cycle_id,
        pass_ids=tuple(verdicts),
        meaning="Both passes looked through from dose to end readings; feed rate certified.",
    )
    return Act(at=walk.at(day, "15:20"), by=walk.plan.signer, command=command)


def _ramped(walk: Walk, day: int) -> Iterator[Act]:
    plan = walk.plan
    if plan.ramps_on is None or not plan.ramps_on <= day < plan.ramps_on + plan.ramp_days:
        return
    if day == plan.ramps_on:
        yield from _planned(walk, day)
    walk.live_until(walk.at(day, "13:40"))
    walk.basin.temperature_c += (plan.stocking_temperature_c - plan.temperature_c) / plan.ramp_days
    rise_g_kg = (plan.stocking_salinity_g_kg - plan.salinity_g_kg) / plan.ramp_days
    if plan.is_salt:
        yield walk.dosed(f"{day} salt", walk.at(day, "13:40"), "SALINITY", rise_g_kg)
    yield walk.sampled(f"{day} ramp", walk.at(day, "17:10"), "TEMPERATURE", "SALINITY")


def _planned(walk: Walk, day: int) -> Iterator[Act]:
    plan = walk.plan
    ends = {"TEMPERATURE": plan.stocking_temperature_c}
    if plan.is_salt:
        ends["SALINITY"] = plan.stocking_salinity_g_kg
    for of, end in ends.items():
        command = PlanRamp(
            id=ident(walk.named(f"ramp {of}")),
            cycle_id=walk.cycle_id,
            of=of,
            end=Decimal(str(end)),
            starts_on=walk.weeks.on(plan.day + day),
            days=plan.ramp_days,
        )
        yield Act(at=walk.at(day, "11:00"), by=walk.keeper(), command=command)


def _refreshed(walk: Walk, day: int) -> Iterator[Act]:
    """The day before animals come: a large change of water, and chlorine proven absent."""
    plan = walk.plan
    if plan.stocks_on is None or day != plan.stocks_on - 1:
        return
    moment, share = walk.at(day, "14:00"), 0.45
    walk.live_until(moment)
    walk.basin.exchange(share, alkalinity_meq_l=_SOFT_MEQ_L)
    yield entries.change(
        walk.deed("before animals", moment),
        litres=plan.litres * share,
        source="tap water from the barrel, dechlorinated",
        alkalinity_meq_l=_SOFT_MEQ_L,
    )
    yield walk.sampled(f"{day} after change", walk.at(day, "16:00"), "CHLORINE", "TEMPERATURE")


def _stocked(walk: Walk, day: int) -> Iterator[Act]:
    yield from walk.sampled_then(day, feeds=False)
    yield walk.sampled(f"{day} panel", walk.at(day, "09:40"), "ALKALINITY", "OXYGEN", "NITRATE")
    admission = ident(walk.named("admission"))
    yield from _given(
        walk.at(day, "11:15"),
        VETERINARIAN,
        AdmitAnimals(
            id=admission,
            vessel_id=ident(walk.plan.code),
            meaning="Every requirement looked through; the first consignment may enter.",
        ),
    )
    yield from _given(
        walk.at(day, "14:30"),
        SECOND,
        RecordStocking(
            id=ident(walk.named("stocking")),
            admission_id=admission,
            count=walk.plan.stock[0],
            what=walk.plan.stock[1],
            happened_at=walk.at(day, "14:10"),
        ),
    )
    ended = EndCycle(cycle_id=walk.cycle_id, outcome="STOCKED", happened_at=walk.at(day, "15:00"))
    yield from _given(walk.at(day, "15:05"), SECOND, ended)


def _given_up(walk: Walk, day: int) -> Act:
    """Nothing was ever oxidised: the culture had been dead."""
    moment = walk.at(day, "15:00")
    command = EndCycle(cycle_id=walk.cycle_id, outcome="GIVEN_UP", happened_at=moment)
    return Act(at=moment + timedelta(minutes=5), by=SECOND, command=command)


def _given(at: datetime, by: str, command: object) -> Iterator[Act]:
    yield Act(at=at, by=by, command=command)


def _read(walk: Walk, name: str, parameter: str) -> UUID:
    return entries.reading_id(walk.named(name), walk.plan.methods[parameter])
