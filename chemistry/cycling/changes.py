"""What an event does to the water, in one form for all events."""

from dataclasses import dataclass

import numpy as np

from chemistry.cycling.arrays import ALKALINITY, NITRATE, TAN, Reals
from chemistry.cycling.case import (
    AlkalinityAddition,
    AmmoniumDose,
    Disinfection,
    Event,
    Inoculation,
    SalinityChange,
    WaterChange,
)
from chemistry.cycling.members import Members


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Water kept, then things added, then what the biofilm suffers."""

    keeps: float = 1.0
    weighed_tan_mg_l_n: float = 0.0
    tan_mg_l_n: float = 0.0
    alkalinity_meq_l: float = 0.0
    inoculation: int = -1
    leap_g_kg: float = 0.0
    disinfects: bool = False


def change_of(event: Event, *, salinity_before_g_kg: float, inoculations_before: int) -> Change:
    """Return what ``event`` does; feed acts over a day and changes nothing at once."""
    match event:
        case AmmoniumDose():
            return Change(weighed_tan_mg_l_n=event.rise_mg_l_n)
        case AlkalinityAddition():
            return Change(alkalinity_meq_l=event.rise_meq_l)
        case WaterChange():
            return _water_change(event)
        case SalinityChange():
            leap_g_kg = abs(event.salinity_ppt - salinity_before_g_kg)
            return Change(leap_g_kg=leap_g_kg)
        case Inoculation():
            return Change(inoculation=inoculations_before)
    return Change(disinfects=isinstance(event, Disinfection))


def _water_change(event: WaterChange) -> Change:
    return Change(
        keeps=1.0 - event.fraction,
        tan_mg_l_n=event.fraction * event.source_tan_mg_l_n,
        alkalinity_meq_l=event.fraction * event.source_alkalinity_meq_l,
    )


def changed(state: Reals, change: Change, *, members: Members) -> Reals:
    """Return the state just after ``change``; a biofilm stays when its water goes."""
    after = state.copy()
    after[: ALKALINITY + 1] *= change.keeps
    after[TAN] += change.weighed_tan_mg_l_n * members.dose_scale + change.tan_mg_l_n
    after[ALKALINITY] += change.alkalinity_meq_l
    if change.inoculation >= 0:
        after[NITRATE + 2 :] += members.seed_mg_l_d * (members.inoculation == change.inoculation)
    if change.leap_g_kg:
        after[NITRATE + 2 :] *= np.exp(-change.leap_g_kg / members.salt_shock_g_kg)
    if change.disinfects:
        after[NITRATE + 2 :] *= members.survival
    return after
