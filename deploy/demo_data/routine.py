"""Eight weeks of ordinary work: probes, weekly panels, feed, water changes."""

from collections.abc import Iterator
from datetime import datetime
from typing import Final

import numpy as np

from deploy.demo_data import entries
from deploy.demo_data.acts import TODAY, Act, Weeks, dice
from deploy.demo_data.entries import Deed
from deploy.demo_data.methods import METHODS
from deploy.demo_data.people import STAFF
from deploy.demo_data.regimes import REGIMES, Regime

_WEEK: Final = 7
_FORGOTTEN: Final = 0.04
# Nitrite and ammonia in the community row once a cloth was rinsed under the tap, mg/L as N.
_TROUBLED: Final = "S1"
TROUBLED_SINCE: Final = 54
_TROUBLE: Final = {"TAN": 0.16, "NITRITE": 0.15}
_NOTHING: Final = {"TAN": 0.012, "NITRITE": 0.004}


def kept(weeks: Weeks) -> Iterator[Act]:
    for place, regime in enumerate(REGIMES):
        chance = dice(f"routine {regime.code}")
        for day in range(regime.since, TODAY + 1):
            yield from _day(regime, weeks, day, place, chance)


def _day(
    regime: Regime, weeks: Weeks, day: int, place: int, chance: np.random.Generator
) -> Iterator[Act]:
    is_panel_day = (day + place) % _WEEK == 0 or (regime.code, day) == (_TROUBLED, TODAY)
    is_there = float(chance.random()) > _FORGOTTEN
    if is_panel_day and is_there:
        yield _sample(regime, weeks, day, place, chance, is_panel=True)
    elif day % regime.probed_every == 0 and is_there:
        yield _sample(regime, weeks, day, place, chance, is_panel=False)
    if regime.fed_every and day % regime.fed_every == 0:
        yield _fed(regime, weeks, day, place, chance)
    if (day + place) % _WEEK == 1:
        yield _changed(regime, weeks, day, place)


def _sample(
    regime: Regime,
    weeks: Weeks,
    day: int,
    place: int,
    chance: np.random.Generator,
    *,
    is_panel: bool,
) -> Act:
    keys = (*_probes(regime), *(_panel(regime) if is_panel else ()))
    truth = _truth(regime, day, place)
    at = weeks.at(day, "08:00", minutes=2 * place + float(chance.integers(0, 9)))
    return entries.sample(
        _deed(regime, day, place, at),
        texts={key: METHODS[key].text(truth[METHODS[key].parameter], chance) for key in keys},
    )


def _probes(regime: Regime) -> tuple[str, ...]:
    salt = (regime.hydrometer,) if regime.salinity_g_kg else ()
    return (regime.thermometer, "ph probe", *salt)


def _panel(regime: Regime) -> tuple[str, ...]:
    if regime.at_bench:
        bench = ("tan photometer", "nitrite photometer", "nitrate photometer")
        return (*bench, "alkalinity burette", "oxygen probe")
    kits = ("tan kit", "nitrite kit", "nitrate kit", "alkalinity drops")
    return (*kits, "oxygen probe") if regime.probed_every == 1 else kits


def _truth(regime: Regime, day: int, place: int) -> dict[str, float]:
    """Nitrate climbs until the change of water; the rest keeps about its level."""
    since_change = (day + place - 1) % _WEEK
    is_troubled = regime.code == _TROUBLED and day >= TROUBLED_SINCE
    return {
        **(_TROUBLE if is_troubled else _NOTHING),
        "NITRATE": regime.nitrate_mg_l_n * (0.85 + 0.05 * since_change),
        "PH": regime.ph,
        "ALKALINITY": regime.alkalinity_meq_l * (1 - 0.01 * since_change),
        "TEMPERATURE": regime.temperature_c,
        "SALINITY": regime.salinity_g_kg,
        "OXYGEN": 6.6 if regime.salinity_g_kg else 7.7,
    }


def _fed(regime: Regime, weeks: Weeks, day: int, place: int, chance: np.random.Generator) -> Act:
    return entries.feeding(
        _deed(regime, day, place, weeks.at(day, "09:30", minutes=3 * place)),
        grams=regime.feed_g * (1 + 0.06 * float(chance.standard_normal())),
        protein_share=regime.protein_share,
    )


def _changed(regime: Regime, weeks: Weeks, day: int, place: int) -> Act:
    is_salt = regime.salinity_g_kg > 1
    return entries.change(
        _deed(regime, day, place, weeks.at(day, "14:30", minutes=4 * place)),
        litres=regime.litres * regime.changed_share,
        source="mixed sea water" if is_salt else "tap water, dechlorinated",
        alkalinity_meq_l=2.4 if is_salt else 1.6,
        salinity_g_kg=regime.salinity_g_kg if is_salt else None,
    )


def _deed(regime: Regime, day: int, place: int, at: datetime) -> Deed:
    """Two of three people are in on any day."""
    on_duty = STAFF[(day + place % 2) % len(STAFF)]
    return Deed(name=f"{regime.code}:{day}", code=regime.code, at=at, by=on_duty)
