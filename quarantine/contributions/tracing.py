"""From where it could have come and where it could have gone; hold what was reached."""

from uuid import UUID

from django.urls import reverse

from facility.sockets.deeds import MANAGER, VETERINARIAN, Deed, deeds
from facility.sockets.menu import Group, MenuEntry, menu
from quarantine.commands.tracing import HoldTraced, hold_traced
from tanks.sockets.ways import TankAct, Way, tank_acts, ways

deeds.plug(
    Deed(
        name="quarantine.hold-traced",
        command=HoldTraced,
        give=hold_traced,
        roles=frozenset({MANAGER, VETERINARIAN}),
        says="held all that a trace reached",
    )
)


def _trace(vessel_id: UUID) -> str:
    return f"{reverse('quarantine:trace')}?about=tanks.vessel:{vessel_id}"


ways.plug(Way("quarantine.trace", "Trace", _trace))
tank_acts.plug(
    TankAct(
        name="quarantine.trace", label="Trace and hold", url=_trace, deed="quarantine.hold-traced"
    )
)
menu.plug(
    MenuEntry(
        name="quarantine.trace",
        label="Trace",
        url_name="quarantine:trace",
        order=34,
        group=Group.ANIMALS,
    )
)
