"""The measured water an act is done to: without net litres there is no dose and no share."""

from datetime import datetime
from decimal import Decimal
from typing import Final

from facility.refusals import Refusal
from tanks.models import Vessel
from tanks.queries.waters import Water, water_of

_CENTILITRES: Final = Decimal("0.01")


class NotYetThere(Refusal):
    code = "not-yet-there"
    field = "happened_at"


class VolumeUnknown(Refusal):
    code = "volume-unknown"
    field = "vessel_id"


def water_then(vessel: Vessel, *, at: datetime) -> Water:
    """Return the water that held the vessel at that moment.

    Raises:
        NotYetThere
    """
    since = vessel.opened_at.replace(second=0, microsecond=0)
    if at < since:
        local = vessel.opened_at.astimezone(vessel.site.zone)
        raise NotYetThere(
            f"{vessel.code} was put up on {local:%d %B %Y, %H:%M}; give a later time."
        )
    # Moments are typed to the minute: in its first minute the vessel is there already.
    return water_of(vessel, at=max(at, vessel.opened_at))


def net_litres(water: Water) -> Decimal:
    """Return the net litres of all that mixed at that moment.

    Raises:
        VolumeUnknown: naming every vessel nobody had measured by then.
    """
    if water.litres is None:
        names = ", ".join(vessel.code for vessel in water.unmeasured)
        raise VolumeUnknown(
            f"The net volume of this water is not known: measure {names} first, then come back."
        )
    return Decimal(repr(water.litres)).quantize(_CENTILITRES)
