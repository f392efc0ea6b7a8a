"""Water that runs through: source water in at one end, tank water out at the other.

A well-mixed tank under continuous exchange loses its difference from the source
exponentially, C = Cs + (C0 - Cs) exp(-Q/V): one volume poured through leaves 37 %, three
leave 5 %. In batches the same litres do more: a whole volume at once leaves nothing.
"""

from typing import Final

import numpy as np

from chemistry.dilution import LEVEL, check_before_source, check_between
from chemistry.domain import LITRES, Number, Range, plain, within

POURED: Final = Range(name="water poured through", unit="L", low=0.0, high=1e9)
FLOW: Final = Range(name="flow", unit="L a day", low=1e-6, high=1e9)
MADE: Final = Range(name="amount made", unit="mg a day", low=0.0, high=1e12)


def after_flow_through(
    *, level: Number, source_level: Number, volume_l: Number, poured_l: Number
) -> Number:
    """Return the level after ``poured_l`` of source water have run through."""
    within(LEVEL, level=level, source_level=source_level)
    within(LITRES, volume_l=volume_l)
    within(POURED, poured_l=poured_l)
    left: Number = np.exp(-poured_l / volume_l)
    return source_level + (level - source_level) * plain(left)


def flow_through_to_reach_l(
    *, level: Number, source_level: Number, target_level: Number, volume_l: Number
) -> Number:
    """Return litres of source water to run through; the inverse of ``after_flow_through``.

    Raises:
        Unreachable: a target is not between the level and the source's, or is the source's.
    """
    within(LITRES, volume_l=volume_l)
    check_between(level, source_level, target_level)
    check_before_source(source_level, target_level)
    shortening = (level - source_level) / (target_level - source_level)
    litres: Number = volume_l * np.log(shortening)
    return plain(litres)


def steady_level_mg_l(*, made_mg_day: Number, flow_l_day: Number, source_mg_l: Number) -> Number:
    """Return the level that is never left again: what is made leaves with the flow."""
    within(MADE, made_mg_day=made_mg_day)
    within(FLOW, flow_l_day=flow_l_day)
    within(LEVEL, source_mg_l=source_mg_l)
    return source_mg_l + made_mg_day / flow_l_day
