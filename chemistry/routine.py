"""Where a routine of equal changes ends when something is made, or dosed, between them.

A water gains ``gain`` between two changes of the share f towards a source. Before a change
the level settles at source + gain / f, after it at source + gain (1 - f) / f: a tenth of the
water a week does not keep nitrate low, it keeps it at ten weeks' worth.
"""

from typing import Final

import numpy as np

from chemistry.dilution import FRACTION, LEVEL, TIMES, Unreachable
from chemistry.domain import SHARE, Number, Range, within

GAIN: Final = Range(name="gain between two changes", unit="", low=0.0, high=1e9)


def steady_before_change(*, gain: Number, fraction: Number, source_level: Number) -> Number:
    """Return the level just before a change once the routine has settled."""
    within(GAIN, gain=gain)
    within(FRACTION, fraction=fraction)
    within(LEVEL, source_level=source_level)
    return source_level + gain / fraction


def steady_after_change(*, gain: Number, fraction: Number, source_level: Number) -> Number:
    """Return the level just after a change once the routine has settled."""
    before = steady_before_change(gain=gain, fraction=fraction, source_level=source_level)
    return before - gain


def before_change_number(
    *, level: Number, gain: Number, fraction: Number, source_level: Number, times: Number | int
) -> Number:
    """Return the level before the change after the next ``times``; 0 is the one due now.

    ``level`` is what stands before the one due now.
    """
    within(LEVEL, level=level)
    within(TIMES, times=times)
    steady = steady_before_change(gain=gain, fraction=fraction, source_level=source_level)
    left: Number = (1 - fraction) ** times
    return steady + (level - steady) * left


def fraction_to_hold(*, gain: Number, limit: Number, source_level: Number) -> Number:
    """Return the share to change each time, so that the level never settles above ``limit``.

    Raises:
        Unreachable: the source is at the limit, or even a whole change would not hold it.
    """
    within(GAIN, gain=gain)
    within(LEVEL, limit=limit, source_level=source_level)
    room, gained = np.broadcast_arrays(limit - source_level, gain)
    short = (room <= 0) | (gained > room)
    if short.any():
        lacking, made = float(room[short].flat[0]), float(gained[short].flat[0])
        raise Unreachable(
            f"No change holds this: {made:g} is gained between two changes and the source water "
            f"leaves room for {max(lacking, 0):g}. Change more often, or take better water."
        )
    return gain / (limit - source_level)


def redose_rise(*, target_level: Number, source_level: Number, fraction: Number) -> Number:
    """Return the rise to dose after a change, to be back at the target.

    Only what went with the water is replaced; what was used up or decayed is not known here.

    Raises:
        Unreachable: the source water holds more than the target already.
    """
    within(SHARE, fraction=fraction)
    within(LEVEL, target_level=target_level, source_level=source_level)
    if np.any(target_level < source_level):
        raise Unreachable(
            "The source water holds more of it than the target: a dose cannot lower it."
        )
    return fraction * (target_level - source_level)


def after_full_doses(*, dose: Number, fraction: Number, times: Number | int) -> Number:
    """Return the level after the first dose and ``times`` (change, whole dose again).

    The mistake that ``redose_rise`` avoids: with 30 % changes 1, 1.7, 2.19 ... up to 3.33 doses.
    """
    within(GAIN, dose=dose)
    within(FRACTION, fraction=fraction)
    within(TIMES, times=times)
    left: Number = (1 - fraction) ** (times + 1)
    return dose * (1 - left) / fraction
