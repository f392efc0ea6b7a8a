"""What keeps animals from being sold, sent away or merged: holds, and courses not cleared."""

from datetime import datetime

from quarantine.models import Hold, Lot
from quarantine.queries.courses import binding_in
from quarantine.queries.holds import holds_on
from tanks.models import Vessel
from tanks.queries.waters import water_of


def hindrances_to_sale(lot: Lot, vessel: Vessel, *, at: datetime) -> list[str]:
    """Return a sentence for each reason why animals of this lot may not leave this tank.

    What is under treatment must not be sold: SI 2018/486, Schedule 3, paragraph 2(2).
    """
    members = water_of(vessel, at=at).member_ids
    held = holds_on(lot=lot, vessel_ids=members, at=at)
    treated = [one.sentence for one in binding_in(members, at)]
    return [*(_of_hold(one) for one in held), *treated]


def holds_of(lot: Lot, *, at: datetime) -> list[Hold]:
    """Return the holds on the lot itself that nobody has lifted, oldest first."""
    return holds_on(lot=lot, at=at)


def _of_hold(hold: Hold) -> str:
    what = hold.lot.code if hold.lot else f"The water of {hold.vessel.code}" if hold.vessel else ""
    return f"{what} is on hold ({hold.get_kind_display().lower()}): {hold.why}"
