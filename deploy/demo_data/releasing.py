"""On the last day some of the harlequins are released, and moved to where they will live."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from typing import Final

from deploy.demo_data.acts import TODAY, Act, Weeks, ident
from deploy.demo_data.people import MANAGER
from deploy.demo_data.quarantine import lot_id
from quarantine.commands.moves import MoveAnimals
from quarantine.commands.releases import ReleaseLot

_COUNT: Final = 10


def released(weeks: Weeks) -> Iterator[Act]:
    """Ten of them into the first pair's tank: its filter has proven more than they are fed."""
    lot, source, target = lot_id("harlequin"), ident("Z-03"), ident("P-01")
    release = ReleaseLot(
        id=ident("release"),
        lot_id=lot,
        vessel_id=source,
        destination_id=target,
        count=_COUNT,
        feed_g_per_day=Decimal("0.2"),
        meaning="I have read every requirement and release these animals.",
    )
    yield Act(at=weeks.at(TODAY, "11:40"), by=MANAGER, command=release)
    at = weeks.at(TODAY, "11:55")
    move = MoveAnimals(
        id=ident("move"),
        lot_id=lot,
        from_vessel_id=source,
        to_vessel_id=target,
        count=_COUNT,
        method="VESSEL",
        water_litres=Decimal(0),
        happened_at=at,
        acclimation="40 minutes by drip, from 26 to 26.5 °C",
        release_id=ident("release"),
    )
    yield Act(at=at + timedelta(minutes=2), by="jun", command=move)
