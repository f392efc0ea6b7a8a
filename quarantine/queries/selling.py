"""What keeps animals from being sold, sent away or merged: holds, and courses not cleared."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from facility.rules.wording import day_and_time
from quarantine.models import Hold, Lot
from quarantine.queries.courses import binding_in
from quarantine.queries.holds import holds_on
from quarantine.queries.stay_rules import stay_rules_at
from quarantine.rules.stays import rest_days
from tanks.models import Vessel
from tanks.queries.waters import water_of


def hindrances_to_sale(lot: Lot, vessel: Vessel, *, at: datetime) -> list[str]:
    """Return a sentence for each reason why animals of this lot may not leave this tank.

    What is under treatment must not be sold: SI 2018/486, Schedule 3, paragraph 2(2).
    """
    members = water_of(vessel, at=at).member_ids
    held = holds_on(lot=lot, vessel_ids=members, at=at)
    treated = [one.sentence for one in binding_in(members, at)]
    return [*(_of_hold(one) for one in held), *treated, *_rests(lot, at)]


def holds_of(lot: Lot, *, at: datetime) -> list[Hold]:
    """Return the holds on the lot itself that nobody has lifted, oldest first."""
    return holds_on(lot=lot, at=at)


def _rests(lot: Lot, at: datetime) -> Iterator[str]:
    """Animals that arrived rest before they are sold, where the site made that rule its own."""
    known = stay_rules_at(lot.site, at=at)
    if not known.is_adopted or lot.made != Lot.Made.ARRIVED:
        return
    species = lot.species
    days = rest_days(known.rules, group=species.group, water_kind=species.water_kind)
    until = lot.acquired_at + timedelta(days=days)
    if until > at:
        told = day_and_time(until, zone=lot.site.zone)
        yield f"{lot.code} rests until {told}: {days} days before a sale."


def _of_hold(hold: Hold) -> str:
    what = hold.lot.code if hold.lot else f"The water of {hold.vessel.code}" if hold.vessel else ""
    return f"{what} is on hold ({hold.get_kind_display().lower()}): {hold.why}"
