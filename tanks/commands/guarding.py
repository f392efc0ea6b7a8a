"""The guard before a dose from the shelf: no tick on the sheet passes it."""

from decimal import Decimal
from typing import Final

from facility.refusals import Refusal
from facility.rules.wording import written
from tanks.queries.waters import Water
from tanks.sockets.guarding import ShelfDose, stopped

_SAME_LITRES: Final = 0.005


class DoseStopped(Refusal):
    code = "dose-stopped"
    field = "purpose"


class VolumeChanged(Refusal):
    code = "volume-changed"
    field = "amount"


def require_seen(seen_litres: Decimal | None, water: Water) -> None:
    """Refuse a dose that was worked out for another volume than the water now has.

    Raises:
        VolumeChanged
    """
    litres = water.litres or 0.0
    if seen_litres is not None and abs(float(seen_litres) - litres) > _SAME_LITRES * litres:
        names = ", ".join(vessel.code for vessel in water.members)
        raise VolumeChanged(
            f"The sheet was opened for {written(seen_litres)} L; now {names} hold "
            f"{written(litres)} L net. Compute and measure out anew."
        )


def require_unstopped(dose: ShelfDose) -> None:
    """Ask whoever knows what lives there.

    Raises:
        DoseStopped
    """
    if reasons := stopped(dose):
        raise DoseStopped(" ".join(reasons))
