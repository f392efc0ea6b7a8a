"""Every calculation there is; a subject's module adds its own and is named here once."""

from typing import Final

from chemistry.calculator import (
    agreement,
    alkalinity,
    ammonia,
    bleach,
    buffering,
    carbonate,
    control,
    copper,
    detection,
    disinfection,
    dosing,
    doubt,
    drift,
    feeding,
    household_ammonia,
    instruments,
    limits,
    measured_doses,
    mixing,
    net_volume,
    nitrite_salt,
    nitrogen,
    oxygen,
    ph_meter,
    raising_ph,
    ramping,
    recovery,
    salinity,
    salting,
    sea_water,
    shapes,
    shares,
    stocks,
    treatment,
    volume,
    water_changes,
    water_routine,
)
from chemistry.calculator.given import near
from chemistry.calculator.terms import Calculation
from chemistry.calculator.wording import quoted

CALCULATIONS: Final[tuple[Calculation, ...]] = (
    *ammonia.CALCULATIONS,
    *limits.CALCULATIONS,
    *nitrogen.CALCULATIONS,
    *oxygen.CALCULATIONS,
    *alkalinity.CALCULATIONS,
    *carbonate.CALCULATIONS,
    *raising_ph.CALCULATIONS,
    *buffering.CALCULATIONS,
    *ph_meter.CALCULATIONS,
    *salinity.CALCULATIONS,
    *instruments.CALCULATIONS,
    *sea_water.CALCULATIONS,
    *salting.CALCULATIONS,
    *ramping.CALCULATIONS,
    *water_changes.CALCULATIONS,
    *water_routine.CALCULATIONS,
    *mixing.CALCULATIONS,
    *dosing.CALCULATIONS,
    *household_ammonia.CALCULATIONS,
    *stocks.CALCULATIONS,
    *measured_doses.CALCULATIONS,
    *disinfection.CALCULATIONS,
    *bleach.CALCULATIONS,
    *feeding.CALCULATIONS,
    *treatment.CALCULATIONS,
    *copper.CALCULATIONS,
    *nitrite_salt.CALCULATIONS,
    *volume.CALCULATIONS,
    *shapes.CALCULATIONS,
    *net_volume.CALCULATIONS,
    *doubt.CALCULATIONS,
    *agreement.CALCULATIONS,
    *recovery.CALCULATIONS,
    *detection.CALCULATIONS,
    *control.CALCULATIONS,
    *drift.CALCULATIONS,
    *shares.CALCULATIONS,
)

_BY_NAME: Final = {calculation.name: calculation for calculation in CALCULATIONS}


class UnknownCalculation(LookupError):  # noqa: N818 - the house names refusals by what is so
    """No calculation has this name."""


def calculation(name: str) -> Calculation:
    """Return the calculation so named.

    Raises:
        UnknownCalculation: with the nearest names there are.
    """
    try:
        return _BY_NAME[name]
    except KeyError:
        raise UnknownCalculation(
            f"There is no calculation {quoted(name)}.{near(name, _BY_NAME)}"
        ) from None
