"""Raising pH in a water that holds ammonia: what each way does to NH₃.

Every step up in pH turns harmless ammonium into NH₃, about twice as much for 0.3 pH. So the
ammonia goes first where it would pass the limit, by dilution or by waiting for the filter;
then bicarbonate, which moves pH least at once; aeration after it; carbonate last, if at all.
The pace of 0.3 pH a day is common practice, no source. For sick animals: a veterinarian.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from chemistry.ammonia import unionised
from chemistry.buffering import aired, with_bicarbonate, with_carbonate
from chemistry.carbonate import OPEN_AIR_UATM, Carbonate, from_alkalinity_and_ph
from chemistry.carbonate_constants import Water, notes_of
from chemistry.carbonate_ph import INTERPOLATED, from_constants, is_interpolated, to_constants
from chemistry.domain import CONCENTRATION, within
from chemistry.ph_scales import PhScale

PH_A_DAY: Final = 0.3
# 40 mg/L CaCO₃: Sandy (1987) as quoted in a thesis on attached-growth nitrification.
NITRIFIERS_NEED_MEQ_L: Final = 0.8


class Way(StrEnum):
    """What can be done; the gas of the aired ones is in balance with the air given."""

    NOTHING = "as it is"
    AERATION = "aeration alone"
    BICARBONATE = "bicarbonate, at once"
    BICARBONATE_AIRED = "bicarbonate, then aeration"
    CARBONATE = "carbonate, at once"
    CARBONATE_AIRED = "carbonate, then aeration"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A water with its readings, the rise in alkalinity wanted, and the NH₃ not to be passed."""

    water: Water[float]
    alkalinity_meq_l: float
    ph: float
    ph_scale: PhScale
    rise_meq_l: float
    limit_mg_l_n: float
    air_uatm: float = OPEN_AIR_UATM


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """pH on the asked scale, and the un-ionised ammonia then."""

    ph: float
    unionised_mg_l_n: float
    fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """``tan_at_most_mg_l_n`` is the total ammonia with which the end stays under the limit.

    ``dilute_share`` is the share of water to change for it, towards water without ammonia.
    """

    outcomes: dict[Way, Outcome]
    tan_at_most_mg_l_n: float
    dilute_share: float
    steps: int
    method: str
    notes: tuple[str, ...]


def plan_of(asked: Asked) -> Plan:
    """Return what each way leads to; ``raising_acts`` says in which order to act.

    Raises:
        OutOfRange: outside what the carbonate or the ammonia formulas cover.
    """
    within(CONCENTRATION, limit_mg_l_n=asked.limit_mg_l_n)
    outcomes = {way: _outcome(asked, state) for way, state in _states(asked).items()}
    tan_mg_l_n = float(asked.water.tan_mg_l_n)
    highest = max(outcomes[way].fraction for way in _ADVISED)
    allowed = asked.limit_mg_l_n / highest
    share = max(0.0, 1 - allowed / tan_mg_l_n) if tan_mg_l_n else 0.0
    return Plan(
        outcomes=outcomes,
        tan_at_most_mg_l_n=allowed,
        dilute_share=share,
        steps=_steps(outcomes),
        method=_method(asked),
        notes=_notes(asked),
    )


def first_part_meq_l(asked: Asked) -> float:
    """Return the most bicarbonate, up to the rise asked, that stays under the limit at once."""
    before = _before(asked)
    low, high = 0.0, asked.rise_meq_l
    if _bicarbonate(asked, before, high).unionised_mg_l_n <= asked.limit_mg_l_n:
        return high
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _bicarbonate(asked, before, middle).unionised_mg_l_n <= asked.limit_mg_l_n:
            low = middle
        else:
            high = middle
    return low


_HALVINGS: Final = 20
_ADVISED: Final = (Way.NOTHING, Way.AERATION, Way.BICARBONATE, Way.BICARBONATE_AIRED)


def _before(asked: Asked) -> Carbonate[float]:
    return from_alkalinity_and_ph(
        asked.water,
        alkalinity_meq_l=asked.alkalinity_meq_l,
        ph=to_constants(asked.water, asked.ph, scale=asked.ph_scale),
    )


def _bicarbonate(asked: Asked, before: Carbonate[float], rise_meq_l: float) -> Outcome:
    return _outcome(asked, with_bicarbonate(before, rise_meq_l=rise_meq_l))


def _states(asked: Asked) -> dict[Way, Carbonate[float]]:
    before = _before(asked)
    bicarbonate = with_bicarbonate(before, rise_meq_l=asked.rise_meq_l)
    carbonate = with_carbonate(before, rise_meq_l=asked.rise_meq_l)
    return {
        Way.NOTHING: before,
        Way.AERATION: aired(before, pco2_uatm=asked.air_uatm),
        Way.BICARBONATE: bicarbonate,
        Way.BICARBONATE_AIRED: aired(bicarbonate, pco2_uatm=asked.air_uatm),
        Way.CARBONATE: carbonate,
        Way.CARBONATE_AIRED: aired(carbonate, pco2_uatm=asked.air_uatm),
    }


def _outcome(asked: Asked, state: Carbonate[float]) -> Outcome:
    ph = from_constants(asked.water, state.ph, scale=asked.ph_scale)
    fraction = unionised(
        ph=ph,
        temperature_c=asked.water.temperature_c,
        salinity_g_kg=asked.water.salinity_g_kg,
        ph_scale=asked.ph_scale,
    ).fraction
    return Outcome(ph=ph, unionised_mg_l_n=asked.water.tan_mg_l_n * fraction, fraction=fraction)


def _method(asked: Asked) -> str:
    return unionised(
        ph=asked.ph,
        temperature_c=asked.water.temperature_c,
        salinity_g_kg=asked.water.salinity_g_kg,
        ph_scale=asked.ph_scale,
    ).method


def _notes(asked: Asked) -> tuple[str, ...]:
    """Return what the carbonate system stretches or leaves out in this water."""
    notes = notes_of(asked.water)
    is_ours = is_interpolated(asked.water, scale=asked.ph_scale)
    return (*notes, INTERPOLATED) if is_ours else notes


def _steps(outcomes: dict[Way, Outcome]) -> int:
    climb = outcomes[Way.BICARBONATE_AIRED].ph - outcomes[Way.NOTHING].ph
    return max(1, math.ceil(climb / PH_A_DAY))
