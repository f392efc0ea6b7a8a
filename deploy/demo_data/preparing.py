"""The first day of a start-up: water treated and proven, devices off, seeded, fed."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Final

from deploy.demo_data import entries
from deploy.demo_data.acts import Act, ident
from deploy.demo_data.devices import DEVICES, OFF_WHILE_SEEDING
from deploy.demo_data.walk import DOSE_MG_L_N, PRODUCTS, Walk
from tanks.commands.cycles import StartCycle
from tanks.commands.seedings import LogSeeding
from tanks.rules.dosing import Start

_TAP: Final = Start(salinity_g_kg=0.2, temperature_c=24.5)
_TAP_CHLORINE: Final = "0.52"
_DECHLORINATES_MG_L: Final = 0.6
_BACK_ON_DAY: Final = 3


def filled(walk: Walk) -> Iterator[Act]:
    yield from _prepared(walk)
    yield from _devices(walk)
    keeper = walk.plan.keepers[0]
    yield Act(at=walk.at(0, "10:01"), by=keeper, command=_start_up(walk))
    yield Act(at=walk.at(0, "10:10"), by=keeper, command=_seeding(walk))
    walk.basin.seed()
    yield walk.dosed("0", walk.at(0, "10:20"), "AMMONIA", DOSE_MG_L_N)
    yield walk.sampled("0 mixed", walk.at(0, "11:10"), "TAN")


def _prepared(walk: Walk) -> Iterator[Act]:
    yield _tap(walk)
    yield _before(walk, "DECHLORINATE", walk.at(0, "08:15"), _DECHLORINATES_MG_L)
    if walk.plan.is_salt:
        rise_g_kg = walk.plan.salinity_g_kg - _TAP.salinity_g_kg
        yield _before(walk, "SALINITY", walk.at(0, "08:30"), rise_g_kg)
    read = ("CHLORINE", "TEMPERATURE", "PH", "ALKALINITY", "OXYGEN", "SALINITY", "NITRATE")
    yield walk.sampled("prepared", walk.at(0, "09:20"), *read)
    # It was read before the doses and tells nothing of what they left.
    del walk.read["ALKALINITY"]


def _tap(walk: Walk) -> Act:
    texts = {
        "chlorine photometer": _TAP_CHLORINE,
        "temperature probe": f"{_TAP.temperature_c:.1f}",
        **({"salinity probe": f"{_TAP.salinity_g_kg:.1f}"} if walk.plan.is_salt else {}),
    }
    return entries.sample(walk.deed("tap", walk.at(0, "08:00")), texts=texts)


def _before(walk: Walk, purpose: str, moment: datetime, target: float) -> Act:
    """A dose that makes the water what the start-up begins with."""
    return entries.dose(
        walk.deed(f"before {purpose}", moment),
        purpose=purpose,
        target=target,
        product=PRODUCTS[purpose],
        litres=walk.plan.litres,
        start=_TAP,
    )


def _devices(walk: Walk) -> Iterator[Act]:
    """Off while the culture settles; some are still off."""
    plan = walk.plan
    for kind in (kind for kind in DEVICES[plan.code] if kind in OFF_WHILE_SEEDING):
        yield entries.turned_off(
            walk.deed(f"{kind} off", walk.at(0, "09:40")),
            kind=kind,
            why="nitrifiers go in",
            due_back_at=walk.at(plan.left_off.get(kind, _BACK_ON_DAY), "10:00"),
        )
        if kind not in plan.left_off:
            back_at = walk.at(_BACK_ON_DAY, "09:50")
            yield entries.turned_on(walk.deed(f"{kind} on", back_at), kind=kind)


def _start_up(walk: Walk) -> StartCycle:
    plan = walk.plan
    return StartCycle(
        id=walk.cycle_id,
        vessel_id=ident(plan.code),
        water_kind=plan.water_kind,
        seed=plan.seed,
        seed_origin=plan.seed_origin,
        has_substrate=plan.has_substrate,
        ammonia_id=ident("product:ammonia stock"),
        declared_feed_g_per_day=Decimal(plan.feed_g),
        protein_share=Decimal("0.45"),
        cycling_temperature_c=Decimal(str(plan.temperature_c)),
        cycling_salinity_g_kg=Decimal(str(plan.salinity_g_kg)),
        stocking_temperature_c=Decimal(str(plan.stocking_temperature_c)),
        stocking_salinity_g_kg=Decimal(str(plan.stocking_salinity_g_kg)),
        happened_at=walk.at(0, "10:00"),
    )


def _seeding(walk: Walk) -> LogSeeding:
    plan = walk.plan
    is_culture = plan.seed == "CULTURE"
    return LogSeeding(
        id=ident(f"seeding:{plan.code}"),
        vessel_id=ident(plan.code),
        kind=plan.seed,
        product_id=ident("product:culture") if is_culture else None,
        origin=plan.seed_origin or "supplier's culture, kept cold",
        quantity=f"{plan.litres * 0.4:.0f} mL" if is_culture else "2 bags of ceramic media",
        happened_at=walk.at(0, "10:05"),
    )
